// Working: how a radius was worked out, line by line, so that somebody can redo it with a pocket calculator.
/** @import { Step, Swing, Units } from "../core/types" */
import { el } from "../core/dom.js";
import { sentence, wanted } from "../words/names.js";
import { force, inUnits, length, surface, unitName } from "../words/units.js";

/** @type {Record<string, string>} */
const FROM = { record: "on record", computed: "computed", default: "set for the place", assumed: "assumed" };

/** @type {Record<string, string>} */
const RULES = {
  stretched: "rode and boat stretched out",
  taut: "rode drawn taut, without what rope stretches",
  taut_with_stretch: "rode drawn taut, with what its rope stretches",
  catenary: "the line as it hangs under the design load",
  scope: "scope set for the area",
  formula: "the area's own formula",
  stated: "stated on record",
};

/** @param {string} rule */
export const ruleWords = (rule) => RULES[rule] ?? rule;

/** A figure of the working keeps so many decimals that the sum can be redone. @param {Step} step @param {Units} units */
export function stepValue(step, units) {
  switch (step.unit) {
    case "m":
      return inUnits(step.value, units).toFixed(2).replace("-", "\u2212") + "\u00a0" + unitName(units);
    case "N":
      return force(step.value, units, units === "feet" ? 1 : 0);
    case "m²":
      return surface(step.value, units);
    default:
      return String(Math.round(step.value * 10000) / 10000) + (step.unit ? "\u00a0" + step.unit : "");
  }
}

/**
 * A formula with constants of its own counts in newtons and square metres; beside feet those are told too, or it could not be redone.
 * @param {Step} step @param {Units} units
 */
function asCounted(step, units) {
  if (units === "metres" || !(step.unit === "m²" || (step.unit === "N" && /\d\.\d/.test(step.formula)))) return "";
  return `${stepValue(step, "metres")}, as the formula counts`;
}

/** @param {Pick<Swing, "working" | "missing"> & Partial<Pick<Swing, "faults">>} swing @param {Units} units @returns {HTMLElement[]} */
export function workingOf(swing, units) {
  const made = [];
  const steps = swing.working ?? [];
  if (steps.length) {
    made.push(
      el(
        "table",
        { class: "working" },
        el("caption", { class: "visually-hidden" }, "How the radius is worked out"),
        el(
          "thead",
          { class: "visually-hidden" },
          el("tr", {}, ...["Symbol", "What", "Value"].map((name) => el("th", { scope: "col" }, name))),
        ),
        el("tbody", {}, ...steps.map((step, i) => stepRow(step, units, i === steps.length - 1 && step.symbol === "R"))),
      ),
    );
  }
  for (const fault of swing.faults ?? []) made.push(el("p", { class: "fault" }, sentence(fault[units])));
  if (swing.missing?.length) made.push(el("p", { class: "missing" }, wanted(swing.missing)));
  return made;
}

/** @param {Step} step @param {Units} units @param {boolean} last */
function stepRow(step, units, last) {
  return el(
    "tr",
    { class: last ? "result" : step.from },
    el("th", { scope: "row" }, symbol(step.symbol)),
    el(
      "td",
      {},
      el("span", { class: "name" }, step.name),
      step.formula && el("span", { class: "formula" }, `${step.symbol} = ${step.formula}`),
      el("span", { class: "from" }, FROM[step.from] ?? step.from),
      asCounted(step, units) && el("span", { class: "note" }, asCounted(step, units)),
      step.note && el("span", { class: "note" }, sentence(step.note)),
    ),
    el("td", { class: "value" }, stepValue(step, units)),
  );
}

/** L1 and D_low with their small part below the line. @param {string} text */
function symbol(text) {
  const parts = /^([A-Za-z])_?(\w+)$/.exec(text);
  return parts ? el("span", {}, parts[1], el("sub", {}, parts[2])) : text;
}

/** The radius in one line. @param {Swing} swing @param {Units} units */
export function radiusWords(swing, units) {
  if (swing.radius_m === null) return swing.basis === "none" ? "keeps no water" : "unknown";
  return (swing.bound ? "at most " : "") + length(swing.radius_m, units);
}

/** @type {Record<string, string>} */
const BASES = {
  boat: "for the boat on it",
  largest_boat: "for the largest boat set for the place",
  none: "vacant, and no largest boat is set for the place",
  stated: "a number on record",
};

/** @param {Swing} swing */
export const basisWords = (swing) => BASES[swing.basis] ?? swing.basis;
