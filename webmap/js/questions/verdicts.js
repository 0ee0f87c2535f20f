// Verdicts: a fit check as rows: what fails, what cannot be said and what is kept, each with the service's own sentence.
/** @import { Conflict, Fit, Hazard, Page, Units, Verdict } from "../core/types" */
import { rowParts } from "../controls/troubles.js";
import { el } from "../core/dom.js";
import { doubtIcon, fitsIcon, hazardIcon } from "../core/icons.js";
import { constraintName, spareFigure } from "../words/fit.js";
import { clause, count } from "../words/names.js";

/** What a fit check found, in the order in which it is told. @param {Fit} fit @param {Page} page @returns {Node[]} */
export function verdictParts(fit, page) {
  const those = (/** @type {boolean | null} */ fits) => fit.verdicts.filter((each) => each.fits === fits);
  const fails = those(false);
  const unsaid = those(null);
  const kept = those(true);
  const are = kept.length === 1 ? "is" : "are";
  return [
    el("p", { class: "lead" }, fit.words[page.units()]),
    ...listed("What fails", fails, page),
    ...listed("What cannot be said", unsaid, page),
    kept.length
      ? el("details", { id: "fit-kept" }, el("summary", {}, `${count(kept.length, "thing")} that ${are} kept`), verdictRows(kept, page))
      : el("p", { hidden: true }),
  ];
}

/** @param {string} title @param {Verdict[]} verdicts @param {Page} page @returns {Node[]} */
function listed(title, verdicts, page) {
  return verdicts.length ? [el("h3", {}, title), verdictRows(verdicts, page)] : [];
}

/** @param {Verdict[]} verdicts @param {Page} page */
export function verdictRows(verdicts, page) {
  return el(
    "ul",
    { class: "rows verdicts" },
    ...verdicts.map((each) => {
      const parts = verdictRow(each, page.units());
      return el(
        "li",
        {},
        each.constraint === "neighbour"
          ? el("button", { type: "button", class: "row", click: () => page.open(each.of) }, ...parts)
          : el("div", { class: "row" }, ...parts),
      );
    }),
  );
}

/** @param {Verdict} verdict @param {Units} units */
function verdictRow(verdict, units) {
  const icon = verdict.fits === true ? fitsIcon() : verdict.fits === false ? hazardIcon() : doubtIcon();
  return rowParts(icon, constraintName(verdict), verdictWords(verdict, units), spareFigure(verdict, units));
}

/**
 * The sentence of a verdict, with a word where the accuracy of the positions may explain it.
 * @param {Verdict} verdict
 * @param {Units} units
 */
export function verdictWords({ words, fits, certainty }, units) {
  return [clause(words[units]), fits === false && certainty === "possible" ? "possible" : ""].filter(Boolean).join(" · ");
}

/** The pairs that a fit check finds too near, as the map draws them. @param {Fit} fit @returns {Conflict[]} */
export function conflictsOf(fit) {
  const near = fit.verdicts.filter((each) => each.constraint === "neighbour" && each.certainty && each.has !== null && each.at);
  return near
    .filter((each) => each.reason !== "may_reach")
    .map((each) => ({
      a: fit.mooring,
      b: each.of,
      distance_m: 0,
      overlap_m: -(each.has ?? 0),
      certainty: each.certainty ?? "possible",
      margin_m: each.needs ?? 0,
      accuracy_m: 0,
      state: each.reason !== "overlaps" ? "tight" : each.certainty === "certain" ? "touching" : "may_touch",
      at: /** @type {Conflict["at"]} */ (each.at),
      bound: each.bound,
      lying: each.lying ?? "independent",
      unison: each.unison ?? null,
    }));
}

/** What a fit check finds against something fixed, as the map marks it. @param {Fit} fit @returns {Hazard[]} */
export function hazardsOf(fit) {
  return fit.verdicts
    .filter((each) => each.kind === "hazard" && each.certainty && each.at)
    .map((each) => ({
      mooring: fit.mooring,
      kind: each.constraint,
      reason: each.reason,
      by_m: -(each.spare ?? 0),
      has_m: each.has ?? 0,
      needs_m: each.needs ?? 0,
      at: /** @type {Hazard["at"]} */ (each.at),
      certainty: each.certainty ?? "possible",
      name: each.of,
      words: each.words,
      bound: each.bound,
    }));
}
