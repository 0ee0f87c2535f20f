// Fit words: what the fit check says, in the words and units of who reads it.
/** @import { FitOutcome, Units, Verdict } from "./types" */
import { figure, force, inWords, length, signed, thickness, weight } from "./units.js";

/** @type {Record<string, string>} */
const CONSTRAINTS = {
  neighbour: "Beside", shore: "Shore", shoal: "Water under the keel", fairway: "Fairway", closed_water: "Closed water", area_edge: "Edge of", area_largest_loa: "Length, for",
  area_largest_draft: "Draft, for", place_largest_loa: "Length, for place", place_largest_draft: "Draft, for place", place_smallest_loa: "Length, for place", scope: "Rode at high water", anchor: "Anchor", strength: "Strength of", tackle_table: "Rule for", record: "Record",
};

/** @param {Verdict} verdict */
export function constraintName({ constraint, name }) {
  const words = name.replaceAll("_", " ");
  return [CONSTRAINTS[constraint] ?? constraint.replaceAll("_", " "), constraint === "anchor" && words ? "(" + words + ")" : words].filter(Boolean).join(" ");
}

/** A figure of a verdict. @param {number | null} value @param {string} unit @param {Units} units */
export function verdictFigure(value, unit, units) {
  if (value === null) return "";
  if (unit === "m") return length(value, units);
  if (unit === "N") return force(value, units);
  if (unit === "kg") return weight(value, units);
  if (unit === "mm") return thickness(value / 1000, units);
  return figure(value) + " " + unit;
}

/** What is to spare, with its sign. @param {Verdict} verdict @param {Units} units */
export function spareFigure({ spare, unit }, units) {
  if (spare === null) return "";
  if (unit === "m") return signed(spare, units);
  return (spare < 0 ? "−" : "+") + verdictFigure(Math.abs(spare), unit, units);
}

/** What there is against what is asked, in one line. @param {Verdict} verdict @param {Units} units */
export function againstWords({ have, need, most, unit, lying }, units) {
  if (have === null || need === null) return "";
  const text = `${verdictFigure(have, unit, units)}, ${most ? "at most" : "at least"} ${verdictFigure(need, unit, units)}`;
  return lying === "in_unison" ? text + ", by the hulls" : text;
}

/** @param {FitOutcome} outcome */
export function outcomeTitle(outcome) {
  return { fits: "She fits", fits_if: "She does not fit", does_not_fit: "She does not fit", cannot_be_said: "It cannot be said" }[outcome];
}

/** What kind of change a way out is. @param {string} kind */
export function wayTitle(kind) {
  return {
    other_tackle: "Other tackle", other_rode: "Another rode", other_place: "A vacant mooring", neighbour_rode: "A neighbour's rode", swap: "A swap", ring: "A ring of three",
    neighbour_moved: "A neighbour moves", neighbour_exchange: "Neighbours change places", anchor_moved: "The anchor moved",
  }[kind] ?? kind.replaceAll("_", " ");
}

/** A way out in the units of who reads it: the service tells lengths, weights and sizes in both. @param {string} words @param {Units} units */
export function wayWords(words, units) {
  const both = /(\d+(?:\.\d+)?\s(?:m|kg|mm)) \(([^()]+)\)/g;
  // What stands in feet already is not read as metres again.
  return words.split(both).map((part, i) => (i % 3 === 0 ? inWords(part, units) : (i % 3 === 1) === (units === "metres") ? part : "")).join("");
}
