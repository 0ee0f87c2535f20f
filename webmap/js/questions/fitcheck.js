// Fit check: the fit check under the answer to "Will this boat fit?": one verdict a constraint, the ways out, and the act by which one of
// them is taken.
/** @import { ActionResult, Fitting, Page, Remedy } from "../core/types" */
import { disclosure } from "../controls/disclosure.js";
import { workingOf } from "../controls/working.js";
import { addressOf, harborPath } from "../core/api.js";
import { el } from "../core/dom.js";
import { actionForm } from "../sheet/actions.js";
import { proposeForm, proposes, ringOf } from "../sheet/propose.js";
import { outcomeTitle, remedyLabel, remedyTitle } from "../words/fit.js";
import { count, sentence } from "../words/names.js";
import { length } from "../words/units.js";
import { verdictParts } from "./verdicts.js";

export { whenDone } from "../sheet/actions.js";

/**
 * @param {Fitting} fit @param {Record<string, string>} query the boat that was tried, in the service's names
 * @param {Page} page @param {(acted: ActionResult) => Promise<void>} done
 * @returns {{title: string, make: () => Node[]}}
 */
export function fitAnswer(fit, query, page, done) {
  return {
    title: outcomeTitle(fit.outcome, `on mooring ${fit.mooring}`),
    make: () => [
      ...verdictParts(fit, page),
      fit.largest_m > 0
        ? el("p", { class: "quiet" }, `By its water the mooring takes a boat of up to ${length(fit.largest_m, page.units())}.`)
        : el("p", { hidden: true }),
      ...(fit.outcome === "fits"
        ? !page.me.may("moorings")
          ? []
          : [
              el("h3", {}, "Give this boat the mooring"),
              actionForm(
                {
                  label: "Give this boat the mooring",
                  act: "acts/assign",
                  body: { ...query, number: fit.mooring, replace: true },
                  boat: true,
                  despite: true,
                },
                page,
                done,
              ),
            ]
        : remediesOf(fit, query, page, done)),
      el("details", {}, el("summary", {}, "How the radius is worked out"), ...workingOf(fit.swing, page.units())),
      el(
        "p",
        {},
        el(
          "a",
          {
            id: "fit-sheet",
            target: "_blank",
            rel: "noopener",
            href: addressOf(harborPath(page.data.info.slug, `moorings/${encodeURIComponent(fit.mooring)}/sheet.pdf`), {
              ...query,
              fit: "true",
            }),
          },
          "The sheet to sign (PDF)",
        ),
      ),
      el(
        "p",
        { class: "quiet" },
        "A planning aid: the harbormaster's permit and local codes govern. Setting, hauling and diving are work for licensed practice.",
      ),
    ],
  };
}

/**
 * @param {Fitting} fit
 * @param {Record<string, string>} query
 * @param {Page} page
 * @param {(acted: ActionResult) => Promise<void>} done
 * @returns {Node[]}
 */
function remediesOf(fit, query, page, done) {
  const unsearched = (fit.unsearched ?? []).map((why) => el("p", {}, `Not searched to the end: ${why}.`));
  if (!fit.remedies.length) {
    return [
      el("p", {}, fit.outcome === "cannot_be_said" ? "First put on record what is missing." : "No remedy was found that fits."),
      ...unsearched,
    ];
  }
  return [
    ...unsearched,
    el("h3", {}, `${count(fit.remedies.length, "way", "ways")} out, each proved by the same check`),
    el("ol", { class: "remedies" }, ...fit.remedies.map((remedy) => remedyItem(remedy, fit, query, page, done))),
  ];
}

/**
 * @param {Remedy} remedy
 * @param {Fitting} fit
 * @param {Record<string, string>} query
 * @param {Page} page
 * @param {(acted: ActionResult) => Promise<void>} done
 */
function remedyItem(remedy, fit, query, page, done) {
  const label = remedyLabel(remedy);
  const units = page.units();
  const { button, box } = disclosure(label, () =>
    actionForm({ label, act: "acts/remedy", body: { ...query, number: fit.mooring, remedy: remedy.id }, boat: true }, page, done),
  );
  const ring = proposes(page) && page.data.byNumber.get(fit.mooring)?.status === "occupied" ? ringOf(remedy, fit.mooring) : null;
  const proposal = ring && disclosure("Propose it", () => proposeForm(page, ring, done));
  const others = [...new Set([remedy.mooring, ...remedy.moorings.map((each) => each.number)])].filter((each) => each !== fit.mooring);
  return el(
    "li",
    {},
    el("strong", {}, remedyTitle(remedy.kind)),
    el("p", {}, sentence(remedy.words[units])),
    ...(remedy.remains ?? []).map(({ mooring, verdict }) =>
      el("p", { class: "quiet" }, `${mooring} keeps a trouble that it has now: ${sentence(verdict.words[units])}`),
    ),
    el(
      "div",
      { class: "buttons" },
      ...others.map((each) => el("button", { type: "button", class: "plain", click: () => page.open(each) }, `Show ${each}`)),
      page.me.may("moorings") && button,
      proposal?.button,
    ),
    box,
    proposal?.box,
  );
}
