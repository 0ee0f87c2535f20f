// Taking: the short form by which a place becomes a mooring. Whatever the service says to it, what is typed stays typed.
/** @import { Acted, Page, PlaceToTake } from "./types" */
import { harborPath, Refusal } from "./api.js";
import { byId, el, put } from "./dom.js";
import { readForm } from "./forms.js";
import { closeIcon } from "./icons.js";
import { recall, remember } from "./memory.js";
import { send } from "./send.js";
import { limitName } from "./spotwords.js";
import { bodyOf, toldOf } from "./takewords.js";
import { ddm, inWords, signed } from "./units.js";
import { fieldsInWords, sentence } from "./words.js";

/** Under this name the browser keeps who wrote last. */
const WHO = "swingroom.who";

/** @param {Page} page @param {{done(acted: Acted): Promise<void>}} deeds */
export function taking(page, deeds) {
  const form = /** @type {HTMLFormElement} */ (byId("form-take"));
  const at = el("p", { class: "position", id: "take-at" }), facts = el("p", { class: "quiet" }), told = el("div", { id: "take-told", role: "alert" });
  const field = (/** @type {string} */ name, /** @type {string} */ label, /** @type {Record<string, string | boolean>} */ more = {}) =>
    el("label", { for: "take-" + name }, label, el("input", { id: "take-" + name, name, autocomplete: "off", ...more }));
  const boat = field("boat", "Boat's name"), owner = field("owner", "Owner");
  const listed = el("p", { id: "take-listed" }), despite = field("despite", "Why she is to lie there nonetheless", { required: true });
  const submit = el("button", { type: "submit", class: "primary", id: "take-send" }, "Set the mooring");
  put(form,
    el("div", { class: "answer-head" }, el("h2", { id: "take-title" }, "Take this place"), el("button", { type: "button", class: "icon-button", "aria-label": "Close the form; what is typed is kept", click: close }, closeIcon())),
    at, facts, listed, el("div", { class: "fields" }, boat, owner),
    el("div", { class: "fields" }, field("number", "Number", { placeholder: "next free one" }), field("who", "Who writes this", { required: true })),
    field("why", "Why", { required: true }), told, despite, submit,
    el("p", { class: "quiet" }, "Who, when and why are put on record. The harbormaster's permit governs."));

  /** @type {PlaceToTake | null} */
  let place = null;
  /** Which state of the harbor was looked at. */
  let revision = 0;
  let sending = false;
  /** @type {HTMLElement | null} */
  let opener = null;
  form.querySelectorAll("input").forEach((input) => { if (input.name === "who") input.value = recall(WHO); });

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    take();
  });

  /** @param {PlaceToTake} next */
  function open(next) {
    if (form.hidden) opener = /** @type {HTMLElement | null} */ (document.activeElement);
    place = next;
    revision = page.data.info.revision;
    form.hidden = false;
    doubt(false);
    put(told);
    render();
    form.scrollIntoView({ block: "start" });
    const first = [...form.querySelectorAll("input")].find((input) => !input.disabled && !input.value);
    (first ?? submit).focus({ preventScroll: true });
  }

  function close() {
    if (form.hidden) return;
    const held = form.contains(document.activeElement);
    form.hidden = true;
    if (held) (opener?.isConnected && opener.checkVisibility() ? opener : byId("map")).focus({ preventScroll: true });
  }

  function render() {
    if (!place) return;
    const { clearance_m, limit, query, waiting } = place, units = page.units();
    at.textContent = ddm(place.at);
    facts.textContent = [query.area, clearance_m === null ? "" : `clearance ${signed(clearance_m, units)}${limit ? " to " + limitName(limit) : ""}`].filter(Boolean).join(" · ");
    listed.hidden = !waiting;
    put(listed, "For ", el("strong", {}, waiting), " of the waiting list, with the boat that is on it; both leave the list.");
    for (const label of [boat, owner]) {
      label.hidden = Boolean(waiting);
      /** @type {HTMLInputElement} */ (label.querySelector("input")).disabled = Boolean(waiting);
    }
  }

  /** Shows or hides what is asked where she does not fit. @param {boolean} doubted */
  function doubt(doubted) {
    despite.hidden = /** @type {HTMLInputElement} */ (despite.querySelector("input")).disabled = !doubted;
    submit.textContent = doubted ? "Take it nonetheless" : "Set the mooring";
    submit.classList.toggle("grave", doubted);
  }

  /** @param {string} title @param {...(Node | string)} lines */
  function tell(title, ...lines) {
    put(told, el("div", { class: "refusal" }, el("p", {}, el("strong", {}, title)), ...lines.map((each) => el("p", {}, each))));
    told.scrollIntoView({ block: "nearest" });
  }

  async function take() {
    const values = readForm(form, page.units());
    if (!values || !place || sending) return;
    sending = true;
    put(told, el("p", { class: "quiet" }, "Asking the service …"));
    try {
      /** @type {Acted} */
      const acted = await send(harborPath(page.data.info.slug, "acts/place"), bodyOf(place, values, revision));
      remember(WHO, values.who ?? "");
      finish();
      await deeds.done(acted);
    } catch (fault) {
      await refuse(/** @type {Error} */ (fault));
    } finally {
      sending = false;
    }
  }

  /** It is done: the next place begins with an empty form, but for who writes. */
  function finish() {
    form.querySelectorAll("input").forEach((input) => { if (input.name !== "who") input.value = ""; });
    put(told);
    form.hidden = true;
    place = null;
  }

  /** @param {Error} fault */
  async function refuse(fault) {
    const { status, reasons } = fault instanceof Refusal ? fault : { status: 0, reasons: [] }, words = inWords(sentence(fieldsInWords(fault.message)), page.units());
    if (status === 409) {
      doubt(true);
      tell("She does not fit here.", el("ul", { class: "reasons" }, ...reasons.map((each) => el("li", {}, inWords(fieldsInWords(each), page.units())))),
        "Move the place, or take it nonetheless and say why; the reason is put on record.");
    } else if (status === 412) {
      tell("The harbor has changed meanwhile.", "Bringing the map up to date …");
      const fresh = await page.refresh();
      if (fresh) revision = page.data.info.revision;
      tell("The harbor has changed meanwhile.", fresh ? "The map shows it as it is now. What you typed is kept: look at the place again, and send it once more." : "The map could not be brought up to date. What you typed is kept.");
    } else {
      const { title, next } = toldOf(status);
      tell(title, words, next);
    }
    page.say(told.textContent ?? "");
  }

  return {
    open, close, render,
    isOpen: () => !form.hidden,
    /** @param {PlaceToTake} next the same place, moved */
    follow(next) {
      if (form.hidden || !place || place.waiting) return;
      const away = next.at.lat_deg !== place.at.lat_deg || next.at.lon_deg !== place.at.lon_deg;
      place = next;
      // What the service said was of another place.
      if (away && !sending) { doubt(false); put(told); }
      render();
    },
  };
}
