// Words: what things are called on the page; the same words in the legend, the lists, the sheet and the print.
/** @import { Buoy, Look, Conflict, Hazard, Units } from "./types" */
import { length } from "./units.js";

/** @type {Record<Look, string>} */
export const LOOKS = {
  clear: "clear", tight: "tight", may_touch: "may touch", touching: "touching", vacant: "vacant", unknown: "unknown",
};

/** @type {Record<string, string>} */
const HAZARDS = {
  shore: "over the shore", shoal: "over shoal water", fairway: "into the fairway", closed_water: "into closed water", area_edge: "outside its area",
};

/** @param {Pick<Hazard, "kind" | "name">} hazard */
export function hazardWords({ kind, name }) {
  const words = HAZARDS[kind] ?? kind.replaceAll("_", " ");
  return name && kind !== "shore" && kind !== "shoal" ? words + " " + name : words;
}

/** A mooring's state in a few words, hazards and vacancy included. @param {Buoy} buoy */
export function stateWords(buoy) {
  const words = [LOOKS[buoy.look]];
  if (buoy.status === "vacant" && buoy.look !== "vacant") words.push("vacant");
  for (const kind of buoy.hazards) words.push(hazardWords({ kind, name: "" }));
  return words.join(", ");
}

/** @param {Conflict} conflict @param {Units} units */
export function conflictFigure(conflict, units) {
  return conflict.overlap_m > 0 ? length(conflict.overlap_m, units) : "gap " + length(-conflict.overlap_m, units);
}

/** @type {Record<string, string>} fields of a record, as a person calls them */
const FIELDS = {
  beam_m: "the boat's beam", boat: "a boat on it", boat_kind: "what kind of boat she is", tackle: "the parts of the tackle", buoy: "a buoy", marker_line_m: "the winter marker's line",
  buoy_size_m: "the buoy's size", ground_chain_size_m: "the ground chain's size", top_chain_size_m: "the top chain's size", rope_size_m: "the rope's size",
  elastic_size_m: "the elastic's size", pennant_size_m: "the pennant's size",
  rode_m: "the rode's length", loa_m: "the boat's length", length_all_m: "the boat's length with everything fixed to her", depth_m: "the depth at the anchor",
  draft_m: "the boat's draft", bow_height_m: "the bow height", radius_m: "a stated radius", area: "its area", pennant_m: "the pennant's length",
  ground_chain_m: "the ground chain's length", top_chain_m: "the top chain's length", rope_m: "the rope's length", elastic_m: "the elastic's length",
  "levels.low_m": "the harbor's low level", "levels.high_m": "the harbor's high level", levels: "the harbor's levels", soundings: "soundings near it",
};

/** @param {string[] | null} missing */
export function wanted(missing) {
  if (!missing?.length) return "";
  return "Wanted on record: " + missing.map((field) => FIELDS[field] ?? field.replace(/_m$/, "").replaceAll("_", " ")).join(", ") + ".";
}

/** Puts the words for a field where a sentence of the service names it by its column. @param {string} text */
export function fieldsInWords(text) {
  return text.replace(/\b[a-z]+(?:_[a-z]+)*_m\b/g, (field) => FIELDS[field] ?? field.replace(/_m$/, "").replaceAll("_", " "));
}

/** @param {string} text */
export function sentence(text) {
  return text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? "" : ".");
}

/** @param {number} n @param {string} one @param {string} [many] */
export function count(n, one, many = one + "s") {
  return n.toLocaleString("en") + "\u00a0" + (n === 1 ? one : many);
}
