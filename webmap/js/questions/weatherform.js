// Weather form: wind, stream and water level by dial, slider and figure; it shows what the view holds and tells what is changed.
/** @import { Asked, Levels, Units } from "../core/types" */
import { dial } from "../controls/dial.js";
import { MAX_KN } from "../core/address.js";
import { el, put } from "../core/dom.js";
import { parseLength, signed } from "../words/units.js";

/** The sliders end sooner than what the service takes: within reach of a finger lies what a mooring field meets. */
const SLIDER_KN = { wind: 60, stream: 6 };
/** @type {["low", "high", "now"]} */
const WATERS = ["low", "high", "now"];

/** @param {HTMLFormElement} form @param {{change(patch: Partial<Asked>): void, buttons: Node[], answer: Node}} how */
export function weatherForm(form, { change, buttons, answer }) {
  const wind = mover("wind", "Wind from", "wind_from_deg", "wind_kn", 1);
  const stream = mover("stream", "Stream towards", "stream_to_deg", "stream_kn", 0.1);
  const gust = figureField({
    id: "lie-gust",
    name: "gust",
    label: "Gust over mean wind",
    min: 1,
    max: 3,
    step: 0.1,
    unit: "",
    read: (v) => change({ gust: v }),
  });
  const typed = el("input", {
    id: "lie-water",
    name: "water",
    inputmode: "text",
    autocomplete: "off",
    placeholder: "other",
    "aria-label": "Another level above chart datum",
    change: readWater,
  });
  const waters = WATERS.map((water) =>
    el("button", { type: "button", id: "lie-water-" + water, click: () => change({ water }) }, water[0].toUpperCase() + water.slice(1)),
  );
  const caution = el("p", { class: "quiet", id: "lie-caution", hidden: true });
  /** @type {Units} */
  let units = "metres";

  put(
    form,
    el("div", { class: "movers" }, wind.box, stream.box),
    el(
      "div",
      { class: "water" },
      el("span", { id: "lie-water-label", class: "label" }, "Water level"),
      el(
        "div",
        { class: "choice wide", role: "group", "aria-labelledby": "lie-water-label" },
        ...waters,
        el("label", { class: "typed" }, typed),
      ),
      caution,
    ),
    el(
      "details",
      { class: "gusts" },
      el("summary", {}, "Gusts"),
      gust.box,
      el("p", { class: "quiet" }, "1 is a steady wind; 1.3 lays the boats to gusts a third stronger than the mean."),
    ),
    el("div", { class: "buttons" }, ...buttons),
    answer,
  );
  form.addEventListener("submit", (event) => event.preventDefault());

  /**
   * Direction and strength of the wind or the stream.
   * @param {"wind" | "stream"} kind
   * @param {string} title
   * @param {"wind_from_deg" | "stream_to_deg"} deg
   * @param {"wind_kn" | "stream_kn"} kn
   * @param {number} step
   */
  function mover(kind, title, deg, kn, step) {
    const card = dial(kind, { id: `lie-${kind}-dial`, label: title, turned: (v) => change({ [deg]: v }) });
    const bearing = figureField({
      id: `lie-${kind}-deg`,
      name: deg,
      label: `${title}, degrees`,
      min: 0,
      max: 360,
      step: 1,
      unit: "°",
      read: (v) => change({ [deg]: v % 360 }),
    });
    const speed = figureField({
      id: `lie-${kind}-kn`,
      name: kn,
      label: `${kind === "wind" ? "Wind" : "Stream"}, knots`,
      min: 0,
      max: MAX_KN[kind],
      step,
      unit: "kn",
      read: (v) => change({ [kn]: v }),
    });
    const slider = el("input", {
      type: "range",
      id: `lie-${kind}-slider`,
      min: 0,
      max: SLIDER_KN[kind],
      step,
      "aria-label": `${kind === "wind" ? "Wind" : "Stream"} speed`,
      input: () => change({ [kn]: Number(slider.value) }),
    });
    return {
      box: el(
        "div",
        { class: "mover", role: "group", "aria-label": title },
        el("span", { class: "label", "aria-hidden": "true" }, title),
        card.box,
        el("div", { class: "pair" }, bearing.box, speed.box),
        slider,
      ),
      focus() {
        card.box.focus({ preventScroll: true });
      },
      /** @param {number} toDeg @param {number} knots */
      show(toDeg, knots) {
        card.show(toDeg);
        bearing.show(toDeg);
        speed.show(knots);
        slider.value = String(knots);
        slider.setAttribute("aria-valuetext", knots + " knots");
      },
    };
  }

  function readWater() {
    const text = typed.value.trim().replace(/^\+/, "");
    const metres = text ? parseLength(text, units) : null;
    typed.setAttribute("aria-invalid", String(Boolean(text) && metres === null));
    if (metres !== null) change({ water: Math.round(metres * 100) / 100 });
  }

  return {
    /** Where the keyboard begins. */
    focus() {
      wind.focus();
    },
    /**
     * @param {Asked} asked
     * @param {Units} inUnits
     * @param {{levels: Levels | null, tide: string | null}} known `tide`: the caution, where a tide is known
     */
    show(asked, inUnits, { levels, tide }) {
      units = inUnits;
      wind.show(asked.wind_from_deg, asked.wind_kn);
      stream.show(asked.stream_to_deg, asked.stream_kn);
      gust.show(asked.gust);
      waters.forEach((button, i) => {
        button.setAttribute("aria-pressed", String(asked.water === WATERS[i]));
        button.hidden = WATERS[i] === "now" ? tide === null && asked.water !== "now" : false;
        button.toggleAttribute("disabled", WATERS[i] !== "now" && !levels);
      });
      const metres = typeof asked.water === "number" ? asked.water : null;
      if (document.activeElement !== typed) typed.value = metres === null ? "" : signed(metres, units).replace("\u00a0", " ");
      caution.hidden = asked.water !== "now" || !tide;
      caution.textContent = tide;
    },
  };
}

/**
 * A figure that is typed. What is typed stays typed; what makes no sense is told beside it and changes nothing.
 * @param {{id: string, name: string, label: string, min: number, max: number, step: number, unit: string, read(value: number): void}}
 *   how
 */
function figureField({ id, name, label, min, max, step, unit, read }) {
  const input = el("input", {
    type: "number",
    id,
    name,
    min: min,
    max: max,
    step,
    inputmode: "decimal",
    autocomplete: "off",
    "aria-label": label,
    input: take,
  });
  const box = el("span", { class: "figure-field" }, input, unit && el("span", { class: "unit-mark", "aria-hidden": "true" }, unit));

  function take() {
    const value = Number(input.value);
    const good = input.value.trim() !== "" && value >= min && value <= max;
    input.setAttribute("aria-invalid", String(!good));
    document.getElementById(id + "-range")?.remove();
    if (good) return read(value);
    input.setAttribute("aria-describedby", id + "-range");
    box.append(el("span", { id: id + "-range", class: "field-fault", role: "alert" }, `From ${min} to ${max}.`));
  }

  return {
    box,
    /** @param {number} value */
    show(value) {
      // While somebody types, "22." must not turn into "22", nor what makes no sense yet into what held before.
      if (document.activeElement === input && (Number(input.value) === value || input.getAttribute("aria-invalid") === "true")) return;
      input.value = String(Math.round(value * 100) / 100);
      input.removeAttribute("aria-invalid");
      document.getElementById(id + "-range")?.remove();
    },
  };
}
