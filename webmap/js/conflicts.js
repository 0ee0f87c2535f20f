// Conflicts: the list of troubles, worst first: pairs that touch, circles over something fixed, and what is not known.
/** @import { Conflict, Hazard, Page, Unknown } from "./types" */
import { createList } from "./list.js";
import { byId, el } from "./dom.js";
import { hazardIcon, stateIcon } from "./icons.js";
import { byHulls, hullsShort } from "./unison.js";
import { length } from "./units.js";
import { conflictFigure, hazardWords, LOOKS, wanted } from "./words.js";

/** @typedef {{conflict: Conflict} | {hazard: Hazard} | {unknown: Unknown}} Trouble */

/** Groups in the order of their weight. */
const GROUPS = ["Certain", "Possible, within the accuracy of the positions", "Inside the margin", "Not known"];

/** @param {Trouble} trouble */
function groupOf(trouble) {
  if ("unknown" in trouble) return 3;
  if ("conflict" in trouble && trouble.conflict.state === "tight") return 2;
  const { certainty } = "conflict" in trouble ? trouble.conflict : trouble.hazard;
  return certainty === "certain" ? 0 : 1;
}

/** @param {Trouble} trouble */
function metresOf(trouble) {
  return "conflict" in trouble ? trouble.conflict.overlap_m : "hazard" in trouble ? trouble.hazard.by_m : 0;
}

/** @param {Trouble} trouble @returns {string[]} the moorings it is about */
function mooringsOf(trouble) {
  if ("conflict" in trouble) return [trouble.conflict.a, trouble.conflict.b];
  return ["hazard" in trouble ? trouble.hazard.mooring : trouble.unknown.mooring];
}

/** @param {Page["data"]["report"]} report @returns {Trouble[]} worst first; what is equal stays in the order of the report */
export function troublesOf(report) {
  /** @type {Trouble[]} */
  const all = [
    ...report.conflicts.map((conflict) => ({ conflict })), ...report.hazards.map((hazard) => ({ hazard })), ...report.unknown.map((unknown) => ({ unknown })),
  ];
  return all.sort((a, b) => groupOf(a) - groupOf(b) || metresOf(b) - metresOf(a));
}

/** @param {Node} icon @param {string} title @param {string} words @param {string} figure @returns {Node[]} what a row of any list is made of */
export function rowParts(icon, title, words, figure) {
  return [icon, el("span", { class: "title" }, title), el("span", { class: "figure" }, figure), el("span", { class: "words" }, words)];
}

/** @param {Trouble} trouble @param {Page} page @returns {Node[]} */
export function troubleRow(trouble, page) {
  const units = page.units();
  const area = [...new Set(mooringsOf(trouble).map((number) => page.data.byNumber.get(number)?.area ?? ""))].filter(Boolean).join(" and ");
  const join = (/** @type {(string | null)[]} */ ...words) => words.filter(Boolean).join(" · ");
  if ("conflict" in trouble) {
    const { a, b, state, certainty, bound } = trouble.conflict;
    const words = byHulls(trouble.conflict)
      ? [hullsShort(trouble.conflict, units), bound ? "a boat supposed on a vacant place" : ""]
      : [bound ? "at most" : ""];
    return rowParts(stateIcon(state), `${a} and ${b}`, join(LOOKS[state], certainty, ...words, area), conflictFigure(trouble.conflict, units));
  }
  if ("hazard" in trouble) {
    const { mooring, certainty, by_m } = trouble.hazard;
    return rowParts(hazardIcon(), mooring, join(hazardWords(trouble.hazard), certainty, area), length(by_m, units));
  }
  const { mooring, what, missing } = trouble.unknown;
  return rowParts(stateIcon("unknown"), mooring, join(what + " unknown", wanted(missing).replace(/\.$/, ""), area), "unknown");
}

/** @param {Trouble} trouble @param {Page} page */
export function openTrouble(trouble, page) {
  if ("conflict" in trouble) page.open(trouble.conflict.a, { with: trouble.conflict.b });
  else if ("hazard" in trouble) page.open(trouble.hazard.mooring, { hazard: trouble.hazard.kind });
  else page.open(trouble.unknown.mooring);
}

/** @param {Page} page */
export function troubleList(page) {
  const list = createList(/** @type {HTMLElement} */ (byId("troubles")), {
    row: (/** @type {Trouble} */ trouble) => troubleRow(trouble, page),
    open: (trouble) => openTrouble(trouble, page),
    current: (trouble) => isCurrent(trouble, page),
  });
  /** @type {Trouble[]} */
  let all = [];

  function refill() {
    const { area } = page.store.get();
    const inArea = (/** @type {string} */ number) => page.data.byNumber.get(number)?.area === area;
    const these = area ? all.filter((each) => mooringsOf(each).some(inArea)) : all;
    list.show(grouped(these), emptyWords(page, area));
  }

  return {
    /** The report has come. */
    renew() {
      all = troublesOf(page.data.report);
      byId("troubles-count").textContent = all.length.toLocaleString("en");
      refill();
    },
    refill,
    render: list.render,
    mark: list.mark,
  };
}

/** @param {Trouble} trouble @param {Page} page */
function isCurrent(trouble, page) {
  const view = page.store.get();
  if ("conflict" in trouble) {
    const { a, b } = trouble.conflict;
    return (view.mooring === a && view.with === b) || (view.mooring === b && view.with === a);
  }
  if ("hazard" in trouble) return view.mooring === trouble.hazard.mooring && view.hazard === trouble.hazard.kind;
  return false;
}

/** @param {Trouble[]} troubles sorted */
function grouped(troubles) {
  /** @type {import("./list.js").Entry<Trouble>[]} */
  const entries = [];
  GROUPS.forEach((name, group) => {
    const these = troubles.filter((each) => groupOf(each) === group);
    if (these.length) entries.push({ heading: `${name} · ${these.length.toLocaleString("en")}` }, ...these.map((item) => ({ item })));
  });
  return entries;
}

/** @param {Page} page @param {string} area */
function emptyWords(page, area) {
  if (!page.data.buoys.length) return ["There is no mooring in this harbor yet. Put a moorings.csv into a folder and run: swingroom import FOLDER"];
  return area
    ? [`Nothing was found in ${area}. Choose all areas to see the rest.`]
    : ["Nothing was found: no circles touch, none comes over anything fixed, and nothing is unknown."];
}

