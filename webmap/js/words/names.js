// Names: what things are called on the page; the same words in the legend, the lists, the sheet and the print.
/** @import { Buoy, Look, Conflict, Shown, Units } from "../core/types" */
import { length } from "./units.js";

/** @type {Record<Look, string>} */
export const LOOKS = {
  clear: "clear",
  tight: "inside the margin",
  may_touch: "may touch",
  touching: "touching",
  trouble: "trouble",
  unsaid: "not fully checked",
  vacant: "vacant",
  unknown: "unknown",
};

/** The kinds of trouble, and what cannot be said, in their order. @type {[Shown, string][]} */
export const KINDS = [
  ["conflict", "Conflicts"],
  ["hazard", "Hazards"],
  ["tackle", "Tackle"],
  ["limit", "Limits"],
  ["record", "Records"],
  ["unsaid", "Cannot be said"],
];

/**
 * What is fixed, as a mooring's state names it: its circle reaches it, or the water that is kept free beside it.
 * @type {Record<string, string>}
 */
const NEAR = {
  shore: "too near the shore",
  shoal: "over shoal water",
  fairway: "too near a fairway",
  closed_water: "too near closed water",
  area_edge: "beyond its area",
};

/** Other troubles of a mooring, by what is asked. @type {Record<string, string>} */
const TROUBLES = {
  scope: "rode too short",
  anchor: "anchor too light",
  strength: "tackle too weak",
  tackle_table: "tackle below the table",
  area_largest_loa: "too long for its area",
  area_largest_draft: "too deep for its area",
  place_largest_loa: "too long for its place",
  place_largest_draft: "too deep for its place",
  place_smallest_loa: "too short for its place",
  record: "record contradicts itself",
};

/**
 * How near a pair comes, and how sure that is. The certainty is about the margin: a pair within the accuracy of the positions may touch,
 * though its margin is certain not to be kept.
 * @param {Pick<Conflict, "state" | "certainty">} conflict
 */
export function pairWords({ state, certainty }) {
  if (state === "tight") return certainty === "certain" ? LOOKS.tight : "may be inside the margin";
  if (state === "may_touch" && certainty === "certain") return `${LOOKS.tight}, ${LOOKS.may_touch}`;
  return certainty === "certain" ? LOOKS[state] : LOOKS.may_touch;
}

/** A mooring's state in a few words, hazards, other troubles and vacancy included. @param {Buoy} buoy */
export function stateWords(buoy) {
  const words = [LOOKS[buoy.look]];
  if (buoy.status === "vacant" && buoy.look !== "vacant") words.push("vacant");
  for (const kind of buoy.hazards) words.push(NEAR[kind] ?? kind.replaceAll("_", " "));
  for (const constraint of new Set(buoy.troubles)) words.push(TROUBLES[constraint] ?? constraint.replaceAll("_", " "));
  return words.join(", ");
}

/** @param {Conflict} conflict @param {Units} units */
export function conflictFigure(conflict, units) {
  return conflict.overlap_m > 0 ? length(conflict.overlap_m, units) : "gap " + length(-conflict.overlap_m, units);
}

/** @type {Record<string, string>} fields of a record, as a person calls them */
const FIELDS = {
  beam_m: "the boat's beam",
  boat: "a boat on it",
  boat_kind: "what kind of boat it is",
  tackle: "the parts of the tackle",
  buoy: "a buoy",
  marker_line_m: "the winter marker's line",
  buoy_size_m: "the buoy's size",
  ground_chain_size_m: "the ground chain's size",
  top_chain_size_m: "the top chain's size",
  rope_size_m: "the rope's size",
  elastic_size_m: "the elastic's size",
  pennant_size_m: "the pennant's size",
  rode_m: "the rode's length",
  loa_m: "the boat's length",
  length_all_m: "the boat's length with bowsprit and davits",
  depth_m: "the depth at the anchor",
  draft_m: "the boat's draft",
  bow_height_m: "the bow height",
  radius_m: "a stated radius",
  area: "its area",
  pennant_m: "the pennant's length",
  ground_chain_m: "the ground chain's length",
  top_chain_m: "the top chain's length",
  rope_m: "the rope's length",
  elastic_m: "the elastic's length",
  "levels.low_m": "the harbor's low level",
  "levels.high_m": "the harbor's high level",
  levels: "the harbor's levels",
  soundings: "soundings near it",
};

/** @param {string[] | null} missing */
export function wanted(missing) {
  if (!missing?.length) return "";
  return "Missing: " + missing.map((field) => FIELDS[field] ?? field.replace(/_m$/, "").replaceAll("_", " ")).join(", ") + ".";
}

/** Puts the words for a field where a sentence of the service names it by its column. @param {string} text */
export function fieldsInWords(text) {
  return text.replace(/\b[a-z]+(?:_[a-z]+)*_m\b/g, (field) => FIELDS[field] ?? field.replace(/_m$/, "").replaceAll("_", " "));
}

/** A sentence among others in a row: it begins with a capital, and has no full stop. @param {string} text */
export function clause(text) {
  return text.charAt(0).toUpperCase() + text.slice(1).replace(/\.$/, "");
}

/** @param {string} text */
export function sentence(text) {
  return text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? "" : ".");
}

/** @param {number} n @param {string} one @param {string} [many] */
export function count(n, one, many = one + "s") {
  return n.toLocaleString("en") + "\u00a0" + (n === 1 ? one : many);
}
