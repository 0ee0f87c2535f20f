// Tackle: what lies between anchor and bow, where the buoy can lie, and what marks the place in winter.
/** @import { Page, Part, Sheet, Units, Watch } from "../core/types" */
import { el } from "../core/dom.js";
import { sentence, wanted } from "../words/names.js";
import { length, thickness, weight } from "../words/units.js";
import { isWinterPart, sectionDrawing } from "./section.js";

/** @param {[string, string][]} rows */
export function figures(rows) {
  return el(
    "dl",
    { class: "figures" },
    ...rows.map(([name, value]) => el("div", {}, el("dt", {}, name), el("dd", { class: value === "unknown" ? "unknown" : null }, value))),
  );
}

/** @param {Sheet} sheet @param {Page} page @returns {Node[]} */
export function tackleParts(sheet, page) {
  const units = page.units();
  const tackle = (sheet.mooring.tackle ?? []).filter((each) => !isWinterPart(each));
  const made = [];
  const drawing = sectionDrawing(sheet, page.data.info.levels);
  if (drawing) made.push(drawing);
  else made.push(el("p", { class: "quiet" }, "Too little is on record to draw it."));
  if (tackle.length) made.push(list(tackle, units));
  else made.push(el("p", {}, "No tackle is on record. " + wanted(["rode_m"])));
  const { depth_m, from, why } = sheet.depth;
  const source = from === "record" ? "from the card" : "from the soundings";
  made.push(figures([["Depth below datum", depth_m === null ? "unknown" : length(depth_m, units) + ", " + source]]));
  made.push(...watchParts(sheet, page));
  if (depth_m === null && why[units]) made.push(el("p", { class: "missing" }, sentence(why[units])));
  made.push(...winterParts(sheet, page));
  return made;
}

/** A rise of the water above the high level that is worth a word: a surge; common practice, no source. */
const RARE_RISE_M = 2;

/** Where to look for the buoy. @param {Sheet} sheet @param {Page} page @returns {Node[]} */
function watchParts({ watch }, page) {
  const units = page.units();
  const levels = page.data.info.levels;
  if (watch.radius_m === null) return [];
  /** @type {Node[]} */
  const made = [
    figures([
      ["Buoy's watch circle, low level", length(watch.radius_m, units)],
      ["… with no pull on it, at most", length(watch.calm_m, units)],
    ]),
  ];
  if (watch.under_above_m !== null && levels && watch.under_above_m < levels.high_m + RARE_RISE_M)
    made.push(
      el(
        "p",
        { class: "quiet" },
        `At a level over ${length(watch.under_above_m, units)} above datum the tackle below the buoy is too short, and it is under water.`,
      ),
    );
  return made;
}

/** Where to look for the marker on the sunk chain. @param {Sheet} sheet @param {Page} page @returns {Node[]} */
function winterParts(sheet, page) {
  const units = page.units();
  const parts = (sheet.mooring.tackle ?? []).filter(isWinterPart);
  const watch = /** @type {Watch | undefined} */ (sheet.winter_watch);
  if (!watch) return [];
  /** @type {Node[]} */
  const made = [el("h4", {}, "In winter")];
  if (parts.length) made.push(list(parts, units));
  else made.push(el("p", { class: "quiet" }, "No winter marker is on record."));
  /** @type {[string, string][]} */
  const known = [];
  if (watch.radius_m !== null) known.push(["Marker lies within, low level", length(watch.radius_m, units)]);
  if (watch.under_above_m !== null) known.push(["Marker under water, level over", length(watch.under_above_m, units)]);
  if (known.length) made.push(figures(known));
  if (parts.length && watch.missing?.length) made.push(el("p", { class: "missing" }, wanted(watch.missing)));
  return made;
}

/** @param {Part[]} parts @param {Units} units */
function list(parts, units) {
  return el("ol", { class: "tackle" }, ...parts.map((each) => tackleRow(each, units)));
}

/** @param {Part} each @param {Units} units */
function tackleRow(each, units) {
  const more = [
    each.material,
    each.size_m !== null && thickness(each.size_m, units),
    each.weight_kg !== null && weight(each.weight_kg, units),
  ].filter(Boolean);
  return el(
    "li",
    {},
    el("span", { class: "name" }, each.kind.replaceAll("_", " ")),
    el("span", { class: "what" }, more.join(", ")),
    el("span", { class: "value" }, each.length_m === null ? "" : length(each.length_m, units)),
  );
}
