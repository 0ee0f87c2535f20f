// What if: what is said of an area with a change beside the area as it is.
/** @import { Gained, Side, Units, WhatIf } from "../core/types" */
import { el } from "../core/dom.js";
import { count } from "./names.js";
import { inUnits, length } from "./units.js";

const SQUARE_METRES_PER_HECTARE = 10000;
/** The acre of the international foot: 43,560 square feet. Source: NIST Special Publication 811 (2008), appendix B.8. */
const SQUARE_FEET_PER_ACRE = 43560;

/** The water of many circles: hectares beside metres, acres beside feet. @param {number} squareMetres @param {Units} units */
export function circlesArea(squareMetres, units) {
  const value =
    units === "feet" ? inUnits(inUnits(squareMetres, units), units) / SQUARE_FEET_PER_ACRE : squareMetres / SQUARE_METRES_PER_HECTARE;
  return value.toFixed(2) + "\u00a0" + (units === "feet" ? "acres" : "ha");
}

/** "Town Cove at a scope of 3". @param {Record<string, string>} change @param {Units} units */
export function changeWords(change, units) {
  const { area = "", scope, margin_m, lying, rule, elastic, elastic_ratio } = change;
  if (elastic) return `${area} on elastic lines of ${elastic}${elastic_ratio ? `, ${elastic_ratio} times the depth` : ""}`;
  if (rule) return `${area} by the rule ${rule}`;
  if (lying) return lying === "in_unison" ? `${area} lying in unison` : `${area} with each boat on its own`;
  if (margin_m) return `${area} with a margin of ${length(Number(margin_m), units)}`;
  return `${area} at a scope of ${scope ?? "unknown"}`;
}

/** @type {[string, keyof Side][]} */
const ROWS = [
  ["Conflicts", "conflicts"],
  ["of them certain", "certain"],
  ["Hazards", "hazards"],
  ["Not known", "unknown"],
];

/** @param {WhatIf} is @param {Units} units */
export function sidesTable({ before, after }, units) {
  const row = (/** @type {string} */ name, /** @type {string} */ was, /** @type {string} */ would, /** @type {number} */ change) =>
    el(
      "tr",
      { class: change < 0 ? "less" : change > 0 ? "more" : "" },
      el("th", { scope: "row" }, name),
      el("td", {}, was),
      el("td", {}, would),
    );
  const figure = (/** @type {number} */ n) => n.toLocaleString("en");
  return el(
    "table",
    { class: "sides" },
    el("thead", {}, el("tr", {}, el("td", {}), el("th", { scope: "col" }, "as it is"), el("th", { scope: "col" }, "with the change"))),
    el(
      "tbody",
      {},
      ...ROWS.map(([name, key]) => row(name, figure(before[key]), figure(after[key]), after[key] - before[key])),
      row(
        "Water of all circles",
        circlesArea(before.circles_m2, units),
        circlesArea(after.circles_m2, units),
        after.circles_m2 - before.circles_m2,
      ),
    ),
  );
}

/** @param {Gained} gained @param {Units} units @returns {(Node | string)[]} */
export function gainedWords({ like, boat, before, after }, units) {
  const size = boat.length_all_m ?? boat.loa_m;
  const more = (/** @type {number} */ n) => count(n, "more boat");
  const stopped = before.ended || after.ended;
  return [
    el(
      "strong",
      {},
      `${more(after.count)} like that of ${like}${size ? ` (${length(size, units)})` : ""} ${after.count === 1 ? "finds" : "find"} ` +
        `a place with the change, ${before.count.toLocaleString("en")} without it. `,
    ),
    `No layout takes more than ${after.upper_bound.toLocaleString("en")} with it, ${before.upper_bound.toLocaleString("en")} without.`,
    stopped ? " Stopped: the best that had been found until then." : "",
  ];
}
