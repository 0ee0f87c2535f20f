// Neighbours: the moorings beside one, by the gap of the circles and by that of the hulls, whichever of the two decides.
/** @import { Neighbour, Page, Sheet } from "../core/types" */
/** @import { Folds } from "../controls/fold.js" */
import { el } from "../core/dom.js";
import { stateIcon } from "../core/icons.js";
import { count, LOOKS } from "../words/names.js";
import { byHulls, decidesWords, designWords, hullsWords } from "../words/unison.js";
import { bearing, length, signed } from "../words/units.js";

/** More are folded away. */
const SHOWN = 4;

/** @param {Sheet} sheet @param {Page} page @param {Folds} folds @returns {Node[]} */
export function neighbourParts(sheet, page, folds) {
  const these = sheet.neighbours ?? [];
  if (!these.length) return [el("p", {}, "There is no other mooring near.")];
  const rows = (/** @type {Neighbour[]} */ some) =>
    el("ul", { class: "rows" }, ...some.map((each) => el("li", {}, neighbourRow(each, page))));
  const rest = these.slice(SHOWN);
  return [
    el("p", {}, decidesWords(sheet.mooring.area, sheet.rules.lying)),
    these.some((each) => each.unison) && el("p", { class: "quiet" }, designWords(sheet.rules.design)),
    el(
      "div",
      { class: "gaps-head", "aria-hidden": "true" },
      el("span", {}, `Gap, ${"\u2212"} where they overlap`),
      head("circles", !byHulls(sheet.rules)),
      head("hulls", byHulls(sheet.rules)),
    ),
    rows(these.slice(0, SHOWN)),
    rest.length > 0 &&
      el(
        "div",
        { class: "folds" },
        folds.fold("neighbours", { title: [`${count(rest.length, "more neighbour")}`] }, () => [rows(rest)]),
      ),
  ].filter((each) => each instanceof Node);
}

/** @param {string} name @param {boolean} decides */
function head(name, decides) {
  return el("span", { class: decides ? "gap decides" : "gap" }, name);
}

/** @param {Neighbour} each @param {Page} page */
function neighbourRow(each, page) {
  const units = page.units();
  const buoy = page.data.byNumber.get(each.number);
  const words = [each.state ? LOOKS[each.state] : "", `${length(each.distance_m, units)} away, ${bearing(each.bearing_true_deg)} true`]
    .filter(Boolean)
    .join(" · ");
  const hulls = each.unison ? figureOf(each.unison.gap_m, units) : "–";
  return el(
    "button",
    { type: "button", class: "row neighbour", click: () => page.open(each.number) },
    stateIcon(each.state || (buoy?.look ?? "unknown")),
    el("span", { class: "title" }, each.number + (buoy?.boat ? " · " + buoy.boat : "")),
    gap("circles", figureOf(each.gap_m, units), !byHulls(each)),
    gap("hulls", hulls, byHulls(each)),
    el("span", { class: "words" }, words),
    each.unison && el("span", { class: "words" }, hullsWords(each.unison, units)),
  );
}

/** @param {number | null} gap_m @param {import("../core/types").Units} units */
const figureOf = (gap_m, units) => (gap_m === null ? "unknown" : signed(gap_m, units));

/** @param {string} name @param {string} figure @param {boolean} decides */
function gap(name, figure, decides) {
  return el("span", { class: decides ? "gap decides" : "gap" }, el("span", { class: "visually-hidden" }, ` ${name} `), figure);
}
