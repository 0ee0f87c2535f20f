// Fit: what the fit check says, in the words and units of who reads it.
/** @import { FitOutcome, Units, Verdict, Remedy } from "../core/types" */
import { figure, force, length, signed, thickness, weight } from "./units.js";

/** @type {Record<string, string>} */
const CONSTRAINTS = {
  neighbour: "Beside",
  shore: "Shore",
  shoal: "Water under the keel",
  fairway: "Fairway",
  closed_water: "Closed water",
  area_edge: "Edge of",
  area_largest_loa: "Length, for",
  area_largest_draft: "Draft, for",
  place_largest_loa: "Length, for place",
  place_largest_draft: "Draft, for place",
  place_smallest_loa: "Length, for place",
  scope: "Rode at high water",
  anchor: "Anchor",
  strength: "Strength of",
  tackle_table: "Rule for",
  record: "Record",
};

/** @param {Pick<Verdict, "constraint" | "of">} verdict */
export function constraintName({ constraint, of }) {
  const words = of.replaceAll("_", " ");
  if (constraint === "record") return CONSTRAINTS.record;
  if (constraint === "strength" && !words) return "Strength of the tackle";
  return [CONSTRAINTS[constraint] ?? constraint.replaceAll("_", " "), constraint === "anchor" && words ? "(" + words + ")" : words]
    .filter(Boolean)
    .join(" ");
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

/** What is to spare, with its sign. @param {Pick<Verdict, "spare" | "unit">} verdict @param {Units} units */
export function spareFigure({ spare, unit }, units) {
  if (spare === null) return "";
  if (unit === "m") return signed(spare, units);
  return (spare < 0 ? "−" : "+") + verdictFigure(Math.abs(spare), unit, units);
}

/** @param {FitOutcome} outcome @param {string} where "on mooring 301", "there" */
export function outcomeTitle(outcome, where) {
  if (outcome === "cannot_be_said") return `Cannot be said ${where.replace(/^on/, "for")}`;
  return `The boat ${outcome === "fits" ? "fits" : "does not fit"} ${where}`;
}

/** What kind of change a way out is. @param {string} kind */
export function remedyTitle(kind) {
  return (
    {
      other_tackle: "Other tackle",
      other_rode: "Another rode",
      other_place: "A vacant mooring",
      neighbour_rode: "A neighbour's rode",
      swap: "A swap",
      ring: "A ring of three",
      neighbour_moved: "A neighbour moves",
      neighbour_exchange: "Neighbours change places",
      anchor_moved: "The anchor moved",
    }[kind] ?? kind.replaceAll("_", " ")
  );
}

/** What is done when a way out is taken. @param {Pick<Remedy, "kind" | "mooring">} way */
export function remedyLabel({ kind, mooring }) {
  return (
    {
      other_tackle: "Change the tackle",
      other_rode: "Change the rode",
      other_place: `Move the boat to ${mooring}`,
      neighbour_rode: "Change the neighbour's rode",
      swap: `Swap with ${mooring}`,
      ring: "Move all three boats",
      neighbour_moved: "Move the neighbour",
      neighbour_exchange: "Exchange the neighbours",
      anchor_moved: "Move the anchor",
    }[kind] ?? "Make this change"
  );
}
