// Sheet parts: what the service tells of one mooring: troubles, boat, tackle, radius and neighbours; fetched when the first sheet is
// opened.
/** @import { Conflict, Page, Sheet, Units } from "../core/types" */
import { createFolds } from "../controls/fold.js";
import { openTrouble, troubleRow, troublesOf } from "../controls/troubles.js";
import { radiusWords } from "../controls/working.js";
import { el } from "../core/dom.js";
import { constraintName } from "../words/fit.js";
import { sentence } from "../words/names.js";
import { byHulls, hullsWords, levelIn } from "../words/unison.js";
import { length } from "../words/units.js";
import { createActs } from "./actions.js";
import { createHistory } from "./history.js";
import { neighbourParts } from "./neighbours.js";
import { createNotes } from "./note.js";
import { createReach } from "./reach.js";
import { createRecord } from "./recordpart.js";
import { radiusParts } from "./rules.js";
import { figures, tackleParts } from "./tackle.js";

/** @param {Page} page @param {{fit(number: string): void}} callbacks `fit`: another boat is to be tried on the mooring */
export function sheetParts(page, callbacks) {
  // What lasts while the sheet is written again.
  const folds = createFolds();
  const reach = createReach(page);
  const acts = createActs(page);
  const record = createRecord(page);
  const notes = createNotes(page);
  const history = createHistory(page);
  let units = page.units();
  return {
    /** @param {Sheet} sheet @returns {Node[]} */
    parts(sheet) {
      if (units !== page.units()) {
        units = page.units();
        record.rewrite();
      }
      return [
        ...troubleParts(sheet, page),
        part(
          "Boat",
          ...boatParts(sheet, units),
          el("button", { type: "button", class: "plain", click: () => callbacks.fit(sheet.mooring.number) }, "Will another boat fit here?"),
        ),
        part("Tackle, anchor to bow", ...tackleParts(sheet, page)),
        part("Swing radius", ...radiusParts(sheet, units, folds), el("div", { class: "folds" }, reach.fold(sheet.mooring.number, folds))),
        part("Neighbours, nearest circle first", ...neighbourParts(sheet, page, folds)),
        record.part(sheet),
        notes.part(sheet),
        history.part(sheet),
        acts.part(sheet),
      ];
    },
    /** Somebody else has changed something. @param {import("../core/recordtypes").News} news */
    news(news) {
      record.news(news);
    },
    /** For the ear. @param {Sheet} sheet */
    radius: (sheet) => radiusWords(sheet.swing, page.units()),
    /** Another mooring is opened, or none any more. */
    forget() {
      folds.forget();
      reach.forget();
      for (const each of [acts, record, notes, history]) each.forget();
    },
  };
}

/** @param {string} title @param {...Node} children */
function part(title, ...children) {
  return el("section", {}, el("h3", {}, title), ...children);
}

/** @param {Sheet} sheet @param {Page} page @returns {Node[]} */
function troubleParts(sheet, page) {
  const all = troublesOf({ conflicts: sheet.conflicts ?? [], hazards: sheet.hazards ?? [], troubles: sheet.troubles ?? [], unknown: [] });
  const unsaid = (sheet.unknown ?? []).map((finding) => ({ finding }));
  return [
    part(
      "Troubles",
      all.length
        ? troubleRows(all, sheet, page)
        : el("p", {}, unsaid.length ? "None was found, and not everything could be checked." : "None: it passes every check."),
    ),
    ...(unsaid.length ? [part("Cannot be said", troubleRows(unsaid, sheet, page))] : []),
  ];
}

/** @param {import("../controls/troubles.js").Trouble[]} troubles @param {Sheet} sheet @param {Page} page */
function troubleRows(troubles, sheet, page) {
  const { number } = sheet.mooring;
  const view = page.store.get();
  const rows = troubles.map((trouble) => {
    const current =
      ("conflict" in trouble && (trouble.conflict.a === view.with || trouble.conflict.b === view.with)) ||
      ("hazard" in trouble && trouble.hazard.kind === view.hazard);
    const open = () => {
      if ("conflict" in trouble) page.open(number, { with: trouble.conflict.a === number ? trouble.conflict.b : trouble.conflict.a });
      else openTrouble(trouble, page);
    };
    const parts = troubleRow(trouble, page);
    // On its own sheet the mooring's number says nothing: what is asked of it does.
    if (!("conflict" in trouble))
      parts[1].textContent = constraintName(
        "hazard" in trouble ? { constraint: trouble.hazard.kind, of: trouble.hazard.name } : trouble.finding.verdict,
      );
    const row =
      "finding" in trouble
        ? el("div", { class: "row" }, ...parts)
        : el("button", { type: "button", class: "row", "aria-current": current ? "true" : null, click: open }, ...parts);
    return el("li", {}, row, ...moreOf(trouble, sheet, page));
  });
  return el("ul", { class: "rows" }, ...rows);
}

/**
 * @param {import("../controls/troubles.js").Trouble} trouble
 * @param {Sheet} sheet
 * @param {Page} page
 * @returns {Node[]} the figures behind it
 */
function moreOf(trouble, sheet, page) {
  return "conflict" in trouble ? [el("p", { class: "more" }, pairWords(trouble.conflict, sheet, page))] : [];
}

/** @param {Conflict} conflict @param {Sheet} sheet @param {Page} page */
function pairWords(conflict, sheet, page) {
  const units = page.units();
  const { a, b, distance_m, overlap_m, margin_m, accuracy_m, unison } = conflict;
  const asked = `margin asked ${length(margin_m, units)}; accuracy of the distance ±\u00a0${length(accuracy_m, units)}.`;
  const anchors = `Anchors ${length(distance_m, units)} apart`;
  if (unison?.weather && byHulls(conflict)) {
    // The overlap told is that of the hulls; that of the circles stands with the neighbour.
    const circles = sheet.neighbours?.find(({ number }) => number === a || number === b)?.gap_m ?? null;
    return (
      `${sentence(`In unison the ${hullsWords(unison, units)}, ${levelIn(unison.weather.level_m, page.data.info.levels, units)}`)} ` +
      `${anchors}; ${circles === null ? "" : circlesWords(-circles, units) + ", which does not count here; "}${asked}`
    );
  }
  const instead = unison?.why[units] ? `Judged by the circles although both lie in unison: ${sentence(unison.why[units])} ` : "";
  return `${instead}${anchors}; ${circlesWords(overlap_m, units)}; ${asked}`;
}

/** @param {number} overlap_m @param {Units} units */
function circlesWords(overlap_m, units) {
  return overlap_m > 0 ? `the circles share ${length(overlap_m, units)}` : `${length(-overlap_m, units)} are left between the circles`;
}

/** @param {Sheet} sheet @param {Units} units @returns {Node[]} */
function boatParts(sheet, units) {
  const { boat, largest_loa_m } = sheet.mooring;
  const largest = largest_loa_m ?? sheet.rules.largest_loa_m ?? null;
  const keeps = largest === null ? "No largest boat is set for the place." : `Largest boat for the place: ${length(largest, units)}.`;
  if (!boat) return [el("p", {}, sheet.mooring.status === "vacant" ? "Vacant. " + keeps : "No boat is on record. " + keeps)];
  return [
    el("p", { class: "boat" }, el("strong", {}, boat.name || "unnamed"), boat.kind && " · " + boat.kind),
    figures([
      ["Length overall", length(boat.loa_m, units)],
      ["Length with bowsprit and davits", length(boat.length_all_m, units)],
      ["Beam", length(boat.beam_m, units)],
      ["Draft", length(boat.draft_m, units)],
      ["Bow height", length(boat.bow_height_m, units)],
    ]),
  ];
}
