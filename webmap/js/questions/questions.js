// Questions: the three of them, each a plain sentence that opens its own short form.
/** @import { Page, Place, Position, Question, Trial } from "../core/types" */
import { readForm } from "../controls/lengths.js";
import { tellRefusal } from "../controls/refusal.js";
import { ask, harborPath } from "../core/api.js";
import { byId, inputById } from "../core/dom.js";
import { part } from "../core/later.js";
import { length } from "../words/units.js";
import { find } from "./search.js";

/** @type {Question[]} */
const QUESTIONS = ["where", "fit", "which"];

/**
 * @param {Page} page
 * @param {() => void} raise makes room for a form on a phone
 * @param {(act: import("./openwaterparts.js").Act) => Promise<void>} room asks about open water, or puts a circle out in it
 */
export function questions(page, raise, room) {
  /** @param {Question} name */
  const form = (name) => /** @type {HTMLFormElement} */ (byId("form-" + name));
  const slug = page.data.info.slug;

  for (const name of QUESTIONS) {
    byId("ask-" + name).addEventListener("click", () => {
      const open = page.store.get().panel !== name;
      page.store.set({ panel: open ? name : "" });
      if (open) {
        raise();
        form(name).querySelector("input")?.focus({ preventScroll: true });
      }
    });
    form(name).addEventListener("submit", (event) => {
      event.preventDefault();
      const by = /** @type {HTMLButtonElement | null} */ (/** @type {SubmitEvent} */ (event).submitter);
      send(name, by?.value ?? "");
    });
  }

  /** Opens and closes the forms by the view. */
  function render() {
    const { panel } = page.store.get();
    for (const name of QUESTIONS) {
      byId("ask-" + name).setAttribute("aria-expanded", String(panel === name));
      form(name).hidden = panel !== name;
    }
  }

  /** @param {Question} name @param {string} act */
  async function send(name, act) {
    const inWater = act === "room" || act === "circle" || act === "capacity";
    const values = inWater ? {} : readForm(form(name), page.units());
    if (!values) return;
    if (!inWater) page.answer("Asking …", () => []);
    try {
      if (inWater) await room(act);
      else if (name === "which") await find(page, values.position ?? "", true);
      else if (name === "where" && act !== "try") await places(values);
      else await trial(values);
    } catch (fault) {
      refuse(/** @type {Error} */ (fault), name, act);
    }
  }

  /** @param {Error} fault @param {Question} name @param {string} act */
  function refuse(fault, name, act) {
    tellRefusal(page, fault, (text) => {
      const field = /** @type {HTMLInputElement | null} */ (form(name).querySelector("input[name=position]"));
      if (text && field) field.value = text;
      send(name, act);
    });
  }

  /** @param {Record<string, string>} values of the boat only */
  const boat = (values) => ({
    loa_m: values.loa_m,
    length_all_m: values.length_all_m,
    beam_m: values.beam_m,
    draft_m: values.draft_m,
    bow_height_m: values.bow_height_m,
    boat_kind: values.boat_kind,
  });

  /** @param {Record<string, string>} values */
  async function places(values) {
    /** @type {[{places: Place[] | null}, Awaited<ReturnType<typeof part<"answers">>>]} */
    const [answer, answers] = await Promise.all([ask(harborPath(slug, "places"), boat(values)), part("answers")]);
    const { title, make } = answers.placesAnswer(answer.places ?? [], page, (place) => openPlace(place, values, answers));
    page.answer(title, make);
    page.say(title);
  }

  /** @param {Place} place @param {Record<string, string>} values @param {Awaited<ReturnType<typeof part<"answers">>>} answers */
  function openPlace(place, values, { conflictsOf, hazardsOf }) {
    const at = page.data.byNumber.get(place.number);
    page.open(place.number);
    if (at) {
      page.tryOut({
        lat_deg: at.lat_deg,
        lon_deg: at.lon_deg,
        radius_m: place.fit.swing.radius_m,
        loa_m: Number(values.length_all_m ?? values.loa_m) || null,
        number: place.number,
        conflicts: conflictsOf(place.fit),
        hazards: hazardsOf(place.fit),
      });
    }
  }

  /** @param {Record<string, string>} values */
  async function trial(values) {
    /** @type {[Trial, Awaited<ReturnType<typeof part<"answers">>>, Awaited<ReturnType<typeof fitted>> | null]} */
    const [answer, { trialAnswer, conflictsOf, hazardsOf }, fit] = await Promise.all([
      ask(harborPath(slug, "trial"), { ...boat(values), position: values.position, number: values.number, rode_m: values.rode_m }),
      part("answers"),
      values.number ? fitted(values) : null,
    ]);
    const tried = trialAnswer(answer, page);
    const title = fit?.title ?? tried.title;
    // The fit check says all that the trial found, and more.
    page.answer(title, fit?.make ?? tried.make);
    page.say(title);
    page.point(answer.position);
    page.tryOut({
      ...answer.position,
      radius_m: answer.fit.swing.radius_m,
      loa_m: Number(values.length_all_m ?? values.loa_m) || null,
      number: answer.number ?? "",
      conflicts: conflictsOf(answer.fit),
      hazards: hazardsOf(answer.fit),
    });
  }

  /** The fit check of a boat on a mooring, with ways out. @param {Record<string, string>} values */
  async function fitted(values) {
    /** @type {Record<string, string>} */
    const query = {};
    for (const [name, value] of Object.entries({ ...boat(values), rode_m: values.rode_m })) if (value) query[name] = value;
    const [fit, { fitAnswer, whenDone }] = await Promise.all([
      ask(harborPath(slug, `moorings/${encodeURIComponent(values.number)}/fit`), query),
      part("fitting"),
    ]);
    return fitAnswer(fit, query, page, whenDone(page));
  }

  pickers(page);
  deviceButton(page);
  page.store.subscribe(["panel"], render);
  return {
    render,
    /** Opens the second question for a mooring. @param {string} number */
    fit(number) {
      inputById("fit-number").value = number;
      page.store.set({ panel: "fit" });
      raise();
      inputById("fit-loa").focus();
    },
  };
}

/** @param {Page} page buttons that let somebody pick a place on the map into the field beside them */
function pickers(page) {
  for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (document.querySelectorAll("button[data-pick]"))) {
    button.addEventListener("click", async () => {
      const at = await page.pick();
      if (at) inputById(button.dataset.pick ?? "").value = text(at);
      button.focus();
    });
  }
}

/** @param {Position} at */
function text(at) {
  return `${at.lat_deg.toFixed(6)}, ${at.lon_deg.toFixed(6)}`;
}

/** @param {Page} page the device's own position, where the browser will give it */
function deviceButton(page) {
  const button = byId("which-here");
  const told = byId("which-here-told");
  if (!("geolocation" in navigator) || !isSecureContext) return;
  button.hidden = false;
  button.addEventListener("click", () => {
    told.textContent = "Waiting for the device's position …";
    navigator.geolocation.getCurrentPosition(
      (fix) => {
        inputById("which-position").value = text({ lat_deg: fix.coords.latitude, lon_deg: fix.coords.longitude });
        told.textContent = `The device says it is within ${length(fix.coords.accuracy, page.units())}.`;
      },
      (fault) => {
        told.textContent = `The device gave no position (${fault.message}). Type or pick one.`;
      },
      { enableHighAccuracy: true, timeout: 15000 },
    );
  });
}
