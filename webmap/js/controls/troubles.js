// Troubles: the list of troubles, by their kinds and worst first, and what cannot be said.
/** @import { Conflict, Finding, Hazard, Page, Shown } from "../core/types" */
import { byId, el, put } from "../core/dom.js";
import { doubtIcon, hazardIcon, stateIcon, troubleIcon } from "../core/icons.js";
import { spareFigure } from "../words/fit.js";
import { clause, conflictFigure, KINDS, pairWords } from "../words/names.js";
import { byHulls, hullsShort } from "../words/unison.js";
import { length } from "../words/units.js";
import { createList } from "./list.js";

/** @typedef {{conflict: Conflict} | {hazard: Hazard} | {finding: Finding}} Trouble */

/** @param {Trouble} trouble @returns {Shown} */
export function kindOf(trouble) {
  if ("conflict" in trouble) return "conflict";
  if ("hazard" in trouble) return "hazard";
  return trouble.finding.verdict.fits === null ? "unsaid" : trouble.finding.verdict.kind;
}

/** @param {Trouble} trouble */
function isCertain(trouble) {
  return (
    ("conflict" in trouble ? trouble.conflict : "hazard" in trouble ? trouble.hazard : trouble.finding.verdict).certainty === "certain"
  );
}

/** What is missing, in metres; of what is not counted in metres nothing is compared. @param {Trouble} trouble */
function metresOf(trouble) {
  return "conflict" in trouble ? trouble.conflict.overlap_m : "hazard" in trouble ? trouble.hazard.by_m : 0;
}

/** @param {Trouble} trouble @returns {string[]} the moorings it is about; none: the whole harbor */
function mooringsOf(trouble) {
  if ("conflict" in trouble) return [trouble.conflict.a, trouble.conflict.b];
  return ["hazard" in trouble ? trouble.hazard.mooring : trouble.finding.mooring].filter(Boolean);
}

/**
 * @param {Pick<Page["data"]["report"], "conflicts" | "hazards" | "troubles" | "unknown">} report
 * @returns {Trouble[]} by kind, of each the worst first; what is equal stays in the order of the report
 */
export function troublesOf(report) {
  /** @type {Trouble[]} */
  const all = [
    ...report.conflicts.map((conflict) => ({ conflict })),
    ...report.hazards.map((hazard) => ({ hazard })),
    ...report.troubles.map((finding) => ({ finding })),
    ...report.unknown.map((finding) => ({ finding })),
  ];
  const rank = new Map(KINDS.map(([kind], i) => [kind, i]));
  const rankOf = (/** @type {Trouble} */ each) => rank.get(kindOf(each)) ?? 0;
  return all.sort((a, b) => rankOf(a) - rankOf(b) || Number(isCertain(b)) - Number(isCertain(a)) || metresOf(b) - metresOf(a));
}

/**
 * @param {Node} icon
 * @param {string} title
 * @param {string} words
 * @param {string} figure
 * @returns {Node[]} what a row of any list is made of
 */
export function rowParts(icon, title, words, figure) {
  return [icon, el("span", { class: "title" }, title), el("span", { class: "figure" }, figure), el("span", { class: "words" }, words)];
}

/** @param {Trouble} trouble @param {Page} page @returns {Node[]} */
export function troubleRow(trouble, page) {
  const units = page.units();
  const area = [...new Set(mooringsOf(trouble).map((number) => page.data.byNumber.get(number)?.area ?? ""))].filter(Boolean).join(" and ");
  const join = (/** @type {(string | false)[]} */ ...words) => words.filter(Boolean).join(" · ");
  if ("conflict" in trouble) {
    const { a, b, state, bound } = trouble.conflict;
    const hulls = byHulls(trouble.conflict);
    const supposed = bound && (hulls ? "a boat supposed on a vacant place" : "at most");
    const words = join(pairWords(trouble.conflict), hulls && hullsShort(trouble.conflict, units), supposed, area);
    return rowParts(stateIcon(state), `${a} and ${b}`, words, conflictFigure(trouble.conflict, units));
  }
  if ("hazard" in trouble) {
    const { mooring, certainty, by_m, words } = trouble.hazard;
    return rowParts(hazardIcon(), mooring, join(clause(words[units]), certainty, area), length(by_m, units));
  }
  const { mooring, verdict } = trouble.finding;
  const unsaid = verdict.fits === null;
  const words = join(clause(verdict.words[units]), !unsaid && verdict.certainty === "possible" && "possible", area);
  return rowParts(unsaid ? doubtIcon() : troubleIcon(), mooring || "The harbor", words, unsaid ? "" : spareFigure(verdict, units));
}

/** @param {Trouble} trouble @param {Page} page */
export function openTrouble(trouble, page) {
  if ("conflict" in trouble) page.open(trouble.conflict.a, { with: trouble.conflict.b });
  else if ("hazard" in trouble) page.open(trouble.hazard.mooring, { hazard: trouble.hazard.kind });
  else if (trouble.finding.mooring) page.open(trouble.finding.mooring);
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
  const chips = new Map(
    KINDS.map(([kind]) => [kind, el("button", { type: "button", class: "chip", id: "kind-" + kind, click: () => toggle(kind) })]),
  );
  put(byId("kinds"), ...chips.values());

  /** @param {Shown} kind */
  function toggle(kind) {
    const { kinds } = page.store.get();
    page.store.set({ kinds: KINDS.map(([each]) => each).filter((each) => kinds.includes(each) !== (each === kind)) });
  }

  function refill() {
    const { area, kinds } = page.store.get();
    const inArea = (/** @type {string} */ number) => page.data.byNumber.get(number)?.area === area;
    const here = area ? all.filter((each) => mooringsOf(each).some(inArea)) : all;
    for (const [kind, name] of KINDS) {
      const chip = /** @type {HTMLElement} */ (chips.get(kind));
      const n = here.filter((each) => kindOf(each) === kind).length;
      put(chip, name + " ", el("span", { class: "count" }, n.toLocaleString("en")));
      chip.setAttribute("aria-pressed", String(kinds.includes(kind)));
      chip.classList.toggle("none", !n);
    }
    list.show(grouped(here.filter((each) => kinds.includes(kindOf(each)))), emptyWords(page, area, here.length > 0));
  }

  return {
    /** The report has come. */
    renew() {
      all = troublesOf(page.data.report);
      byId("troubles-count").textContent = all.filter((each) => kindOf(each) !== "unsaid").length.toLocaleString("en");
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
  for (const [kind, name] of KINDS) {
    const these = troubles.filter((each) => kindOf(each) === kind);
    if (these.length) entries.push({ heading: `${name} · ${these.length.toLocaleString("en")}` }, ...these.map((item) => ({ item })));
  }
  return entries;
}

/** @param {Page} page @param {string} area @param {boolean} others whether another kind has something */
function emptyWords(page, area, others) {
  if (!page.data.buoys.length)
    return ["There is no mooring in this harbor yet. Put a moorings.csv into a folder and run: swingroom import FOLDER"];
  if (others) return ["Nothing of the kinds that are chosen. Choose another above."];
  return [
    area ? `Nothing was found in ${area}. Choose all areas to see the rest.` : "Nothing was found: every mooring passes every check.",
  ];
}
