// Answers: what the service said to a question, as a list under it.
/** @import { FindAnswer, Found, Page, Place, Trial } from "../core/types" */
import { rowParts } from "../controls/troubles.js";
import { radiusWords, workingOf } from "../controls/working.js";
import { el } from "../core/dom.js";
import { doubtIcon, fitsIcon, hazardIcon, stateIcon } from "../core/icons.js";
import { outcomeTitle } from "../words/fit.js";
import { count, stateWords } from "../words/names.js";
import { bearing, length, signed } from "../words/units.js";
import { verdictParts } from "./verdicts.js";

export { conflictsOf, hazardsOf } from "./verdicts.js";

/** @param {Node[]} parts @param {(() => void) | null} open */
function rowItem(parts, open) {
  return el("li", {}, open ? el("button", { type: "button", class: "row", click: open }, ...parts) : el("div", { class: "row" }, ...parts));
}

/** @param {Node[]} items */
const rows = (items) => el("ul", { class: "rows" }, ...items);

/** @param {FindAnswer} answer @param {Page} page @returns {{title: string, make: () => Node[]}} */
export function foundAnswer(answer, page) {
  const results = answer.results ?? [];
  const title =
    answer.kind === "position"
      ? results.length
        ? `Nearest: ${results[0].number}`
        : "No mooring is near"
      : results.length
        ? count(results.length, "mooring")
        : "Nothing found";
  return {
    title,
    make: () =>
      [
        answer.understood &&
          el(
            "dl",
            { class: "understood" },
            el("dt", {}, "Understood as"),
            el("dd", {}, answer.understood.ddm),
            el("dd", {}, answer.understood.dd),
            el("dd", {}, answer.understood.dms),
          ),
        results.length
          ? rows(results.map((each) => rowItem(foundRow(each, page), () => page.open(each.number))))
          : el(
              "p",
              {},
              "No mooring and no boat is called that. Try part of a boat's name, the number as it is painted, " +
                "or a position such as 44° 07.407' N 068° 45.926' W.",
            ),
      ].filter((each) => each instanceof Node),
  };
}

/** @param {Found} each @param {Page} page */
function foundRow(each, page) {
  const buoy = page.data.byNumber.get(each.number);
  const away = each.distance_m === null || each.distance_m === undefined ? "" : length(each.distance_m, page.units());
  const words = [
    each.bearing_true_deg !== null && each.bearing_true_deg !== undefined ? bearing(each.bearing_true_deg) + " true" : "",
    buoy ? stateWords(buoy) : "",
    each.area,
  ]
    .filter(Boolean)
    .join(" · ");
  return rowParts(stateIcon(buoy?.look ?? "unknown"), each.number + (each.boat ? " · " + each.boat : ""), words, away);
}

/** @param {Place[]} places @param {Page} page @param {(place: Place) => void} open */
export function placesAnswer(places, page, open) {
  const fit = places.filter((each) => each.fits === true).length;
  return {
    title: places.length ? `The boat fits on ${fit} of ${count(places.length, "vacant mooring")}` : "No mooring is vacant",
    make: () =>
      places.length
        ? [rows(places.map((each) => rowItem(placeRow(each, page), () => open(each))))]
        : [el("p", {}, "Every mooring has a boat on it. Try a place of your own, below the form.")],
  };
}

/** Every place that is no yes has its reason; the gap to the nearest is told of those that fit. @param {Place} place @param {Page} page */
function placeRow({ number, area, fits, fit, least_gap_m }, page) {
  const icon = fits === true ? fitsIcon() : fits === false ? hazardIcon() : doubtIcon();
  const said = fits === true ? " · fits" : fits === false ? " · does not fit" : ""; // a sentence that cannot say it begins so
  const gap = fits !== true || least_gap_m === null ? "" : signed(least_gap_m, page.units());
  return rowParts(icon, number + said, fits === true ? (area ?? "") : fit.words[page.units()], gap);
}

/** @param {Trial} trial @param {Page} page */
export function trialAnswer({ number, position, fit }, page) {
  return {
    title: outcomeTitle(fit.outcome, number ? `on mooring ${number}` : "there"),
    make: () => [
      ...verdictParts(fit, page),
      position.ddm ? el("p", { class: "quiet" }, position.ddm) : el("p", { hidden: true }),
      el("p", {}, `Swing radius ${radiusWords(fit.swing, page.units())}.`),
      el("details", {}, el("summary", {}, "How the radius is worked out"), ...workingOf(fit.swing, page.units())),
    ],
  };
}
