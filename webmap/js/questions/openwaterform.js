// Open water form: the part of the first question's form that is about open water: which area and tackle, and what is wrong with what is
// typed.
/** @import { Page } from "../core/types" */
import { fillForm, readForm } from "../controls/lengths.js";
import { faultIn } from "../core/api.js";
import { byId, el, put } from "../core/dom.js";
import { fieldsInWords, sentence } from "../words/names.js";

/** What of the form goes to the service. */
const FIELDS = ["loa_m", "length_all_m", "beam_m", "draft_m", "bow_height_m", "boat_kind", "rode_m", "scope", "tackle_of", "radius_m"];
const TACKLES = ["rode_m", "scope", "tackle_of", "radius_m"];

/** @param {Page} page */
export function openWaterForm(page) {
  const form = /** @type {HTMLFormElement} */ (byId("form-where"));
  const told = byId("where-told");
  const area = /** @type {HTMLSelectElement} */ (byId("where-area"));
  const tackle = /** @type {HTMLSelectElement} */ (byId("where-tackle"));

  /** Only the field of the tackle that is chosen is there. */
  function chooseTackle() {
    for (const label of /** @type {NodeListOf<HTMLLabelElement>} */ (form.querySelectorAll("label[data-tackle]"))) {
      const input = /** @type {HTMLInputElement} */ (label.querySelector("input"));
      label.hidden = input.disabled = label.dataset.tackle !== tackle.value;
    }
  }
  tackle.addEventListener("change", chooseTackle);
  form.addEventListener("input", () => tell(""));
  chooseTackle();

  /** @param {string} words @param {boolean} [quiet] */
  function tell(words, quiet = false) {
    told.textContent = words;
    told.classList.toggle("waiting", quiet);
    if (words && !quiet) told.scrollIntoView({ block: "nearest" });
  }

  return {
    tell,
    /** @param {Error} fault */
    refuse(fault) {
      tell(sentence(fieldsInWords(faultIn(fault, page.units()))));
    },
    /** @returns {Record<string, string> | null} what is asked, in metres; null where something cannot be read, which is then told */
    read() {
      const values = readForm(form, page.units());
      if (!values) return null;
      /** @type {Record<string, string>} */
      const query = { area: area.value };
      for (const name of FIELDS) if (values[name]) query[name] = name === "scope" ? scopeOf(values[name]) : values[name];
      return query;
    },
    /** Puts in what was asked. @param {Record<string, string>} query */
    fill(query) {
      fillForm(form, query, page.units());
      if (page.data.info.areas.some((each) => each.name === query.area)) area.value = query.area;
      tackle.value = TACKLES.find((name) => query[name]) ?? tackle.value;
      chooseTackle();
    },
    /** The harbor's areas are known. */
    areas() {
      const was = area.value || page.store.get().area;
      put(area, ...page.data.info.areas.map((each) => el("option", { value: each.name }, each.name)));
      if (page.data.info.areas.some((each) => each.name === was)) area.value = was;
      byId("where-room").hidden = !page.data.info.areas.length;
    },
  };
}

/** "3:1" and "3,5" are ways to write a scope. @param {string} text */
export function scopeOf(text) {
  return text.replace(",", ".").replace(/\s*:\s*1$/, "");
}

/**
 * How a boat of these figures is drawn.
 * @param {Record<string, string>} query
 * @returns {import("../core/types").WaterShown["boat"]} as far as it is drawn
 */
export function boatOf(query) {
  return { length_m: Number(query.length_all_m ?? query.loa_m) || null, beam_m: Number(query.beam_m) || null };
}
