// Answers: what the service said to a question, as a list under it.
/** @import { FindAnswer, Found, Page, Place, Report, Trial } from "./types" */
import { openTrouble, rowParts, troubleRow, troublesOf } from "./conflicts.js";
import { otherOf } from "./data.js";
import { el } from "./dom.js";
import { doubtIcon, fitsIcon, hazardIcon, stateIcon } from "./icons.js";
import { byHulls } from "./unison.js";
import { bearing, inWords, length, signed } from "./units.js";
import { radiusWords, workingOf } from "./working.js";
import { count, fieldsInWords, stateWords } from "./words.js";

/** @param {Node[]} parts @param {(() => void) | null} open */
function rowItem(parts, open) {
  return el("li", {}, open ? el("button", { type: "button", class: "row", click: open }, ...parts) : el("div", { class: "row" }, ...parts));
}

/** @param {Node[]} items */
const rows = (items) => el("ul", { class: "rows" }, ...items);

/** @param {FindAnswer} answer @param {Page} page @returns {{title: string, make: () => Node[]}} */
export function foundAnswer(answer, page) {
  const results = answer.results ?? [];
  const title = answer.kind === "position"
    ? results.length ? `Nearest: ${results[0].number}` : "No mooring is near"
    : results.length ? count(results.length, "mooring") : "Nothing found";
  return {
    title,
    make: () => [
      answer.understood && el("dl", { class: "understood" },
        el("dt", {}, "Understood as"), el("dd", {}, answer.understood.ddm), el("dd", {}, answer.understood.dd), el("dd", {}, answer.understood.dms)),
      results.length
        ? rows(results.map((each) => rowItem(foundRow(each, page), () => page.open(each.number))))
        : el("p", {}, "No number and no boat is called so. Try part of a boat's name, the number as it is painted, or a position such as 44° 07.407' N 068° 45.926' W."),
    ].filter((each) => each instanceof Node),
  };
}

/** @param {Found} each @param {Page} page */
function foundRow(each, page) {
  const buoy = page.data.byNumber.get(each.number);
  const away = each.distance_m === null || each.distance_m === undefined ? "" : length(each.distance_m, page.units());
  const words = [each.bearing_true_deg !== null && each.bearing_true_deg !== undefined ? bearing(each.bearing_true_deg) + " true" : "", buoy ? stateWords(buoy) : "", each.area].filter(Boolean).join(" · ");
  return rowParts(stateIcon(buoy?.look ?? "unknown"), each.number + (each.boat ? " · " + each.boat : ""), words, away);
}

/** @param {Place[]} places @param {Page} page @param {(place: Place) => void} open */
export function placesAnswer(places, page, open) {
  const fit = places.filter((each) => each.fits === true).length;
  return {
    title: places.length ? `She fits on ${fit} of ${count(places.length, "vacant mooring")}` : "No mooring is vacant",
    make: () => places.length
      ? [rows(places.map((each) => rowItem(placeRow(each, page), () => open(each))))]
      : [el("p", {}, "Every mooring has a boat on it. Try a place of your own, below the form.")],
  };
}

/** @param {Place} place @param {Page} page */
function placeRow(place, page) {
  const icon = place.fits === true ? fitsIcon() : place.fits === false ? hazardIcon() : doubtIcon();
  const verdict = place.fits === true ? "fits" : place.fits === false ? "does not fit" : "not known to fit";
  const worst = troublesOf(filled(place.report))[0];
  const why = worst && place.fits !== true ? firstWords(worst, place.number, page) : place.area ?? "";
  const gap = place.least_gap_m === null ? "" : signed(place.least_gap_m, page.units());
  return rowParts(icon, `${place.number} · ${verdict}`, why, gap);
}

/** @param {Report} report */
function filled(report) {
  return { conflicts: report.conflicts ?? [], hazards: report.hazards ?? [], unknown: report.unknown ?? [] };
}

/** @param {import("./conflicts.js").Trouble} trouble @param {string} number @param {Page} page */
function firstWords(trouble, number, page) {
  if ("conflict" in trouble) {
    const { overlap_m } = trouble.conflict, other = otherOf(page.data, trouble.conflict, number)?.number ?? "another";
    if (overlap_m > 0 && byHulls(trouble.conflict)) return `her hull overlaps that of ${other} by ${length(overlap_m, page.units())}`;
    return overlap_m > 0 ? `shares ${length(overlap_m, page.units())} with ${other}` : `too close to ${other}`;
  }
  return inWords("hazard" in trouble ? trouble.hazard.words : fieldsInWords(trouble.unknown.words), page.units());
}

/** What a trial found, in one line. @param {Trial} trial */
export function trialTitle(trial) {
  const { conflicts, hazards, unknown } = filled(trial.report);
  const found = [...conflicts, ...hazards];
  if (found.some((each) => each.certainty === "certain")) return "She does not fit";
  if (unknown.length || trial.swing.radius_m === null || trial.swing.faults?.length) return "Not known to fit";
  return found.length ? "She may not fit" : "She fits";
}

/** @param {Trial} trial @param {Page} page */
export function trialAnswer(trial, page) {
  const troubles = troublesOf(filled(trial.report));
  const where = trial.number ? `on mooring ${trial.number}` : "there";
  return {
    title: `${trialTitle(trial)} ${where}`,
    make: () => [
      trial.position.ddm ? el("p", { class: "quiet" }, trial.position.ddm) : el("p", {}),
      el("p", {}, `Swing radius ${radiusWords(trial.swing, page.units())}.`),
      troubles.length
        ? rows(troubles.map((each) => rowItem(trialRow(each, trial, page), openOther(each, trial, page))))
        : el("p", {}, "Nothing was found against it: clear of all neighbours and of everything fixed."),
      el("details", {}, el("summary", {}, "How the radius is worked out"), ...workingOf(trial.swing, page.units())),
    ],
  };
}

/** @param {import("./conflicts.js").Trouble} trouble @param {Trial} trial @param {Page} page */
function openOther(trouble, trial, page) {
  if (!("conflict" in trouble)) return trial.number ? () => openTrouble(trouble, page) : null;
  const other = otherOf(page.data, trouble.conflict, trial.number ?? "");
  return other ? () => page.open(other.number) : null;
}

/** @param {import("./conflicts.js").Trouble} trouble @param {Trial} trial @param {Page} page */
function trialRow(trouble, trial, page) {
  const parts = troubleRow(trouble, page);
  const other = "conflict" in trouble && otherOf(page.data, trouble.conflict, trial.number ?? "");
  if (other) parts[1].textContent = "with " + other.number + (other.boat ? " · " + other.boat : "");
  else if (!("conflict" in trouble) && !trial.number) parts[1].textContent = "at the place";
  return parts;
}
