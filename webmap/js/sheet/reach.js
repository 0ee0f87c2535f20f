// Reach: how far the boat on a mooring lies from its anchor, by wind and level; asked for when it is unfolded.
/** @import { Levels, Page, Reaches, ReachRow, Units } from "../core/types" */
/** @import { Folds } from "../controls/fold.js" */
import { ask, faultIn, harborPath, Refusal } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { fieldsInWords, sentence } from "../words/names.js";
import { force, forceAlong, forceUnit, inForceUnits, inUnits, knots, length, unitName } from "../words/units.js";

/** @typedef {ReturnType<typeof createReach>} Reach */

/** @param {Page} page */
export function createReach(page) {
  /** @type {Promise<Reaches> | null} */
  let coming = null;
  let stop = new AbortController();

  function forget() {
    stop.abort();
    stop = new AbortController();
    coming = null;
  }

  /** @param {string} number @param {HTMLElement} box */
  async function show(number, box) {
    put(box, el("p", { class: "quiet" }, "Working it out …"));
    const { signal } = stop;
    coming ??= ask(harborPath(page.data.info.slug, `moorings/${encodeURIComponent(number)}/reach`), {}, signal);
    try {
      const answer = await coming;
      if (signal.aborted) return;
      put(box, reachParts(answer, page.data.info.levels, page.units()));
    } catch (fault) {
      if (signal.aborted) return;
      put(
        box,
        refusal(/** @type {Error} */ (fault), page.units(), () => {
          forget();
          show(number, box);
        }),
      );
    }
  }

  return {
    forget,
    /** @param {string} number @param {Folds} folds */
    fold(number, folds) {
      return folds.fold(
        "reach",
        {
          title: ["How far the boat reaches, by wind and level"],
          words: "load, radius, what lies on the bed and the pull at the anchor, by the weight of the tackle",
        },
        () => {
          const box = el("div", { class: "reach" });
          show(number, box);
          return [box];
        },
      );
    },
  };
}

/**
 * What is not on record is a sentence; what went wrong can be asked again.
 * @param {Error} fault
 * @param {Units} units
 * @param {() => void} again
 */
function refusal(fault, units, again) {
  const words = sentence(fieldsInWords(faultIn(fault, units)));
  if (fault instanceof Refusal && fault.status > 0 && fault.status < 500) return el("p", { class: "missing" }, words);
  return el("div", { class: "refusal" }, el("p", {}, words), el("button", { type: "button", click: again }, "Ask again"));
}

/** @param {Reaches} t @param {Levels | null} levels @param {Units} units @returns {Node[]} */
function reachParts(t, levels, units) {
  const rows = t.rows ?? [];
  const groups = [...new Set(rows.map((row) => row.level_m))].map((level_m) => rows.filter((row) => row.level_m === level_m));
  const why = [...new Set(rows.map((row) => row.table_why[units]).filter(Boolean))];
  return [
    // In a wide font the table is wider than the sheet: then it is moved sideways, with the keyboard too.
    el(
      "div",
      { class: "sideways", tabindex: "0", role: "region", "aria-label": "Table of reach" },
      el(
        "table",
        { class: "reach-table" },
        el("caption", { class: "visually-hidden" }, "How the boat lies, by level and wind"),
        ...headOf(units),
        ...groups.map((group) => groupOf(group, levels, units)),
      ),
    ),
    el(
      "p",
      { class: "quiet" },
      `Formula: wind and stream on the boat by the drag formula, gusts ${Math.round(t.gust * 100) / 100} times the mean wind, ` +
        `${t.stream_ms > 0 ? `a stream of ${knots(t.stream_ms, 1)} along it` : "no stream"}; ` +
        "what lies on the bed and the pull are under that load. Table: the published table of design loads for its length and beam.",
    ),
    el("p", { class: "quiet" }, partsWords(t, units)),
    ...(t.assumed ?? []).map((each) => el("p", { class: "missing" }, "Assumed: " + sentence(each))),
    ...why.map((each) => el("p", { class: "missing" }, "No load by the table: " + sentence(fieldsInWords(each)))),
  ];
}

/** @param {Reaches} t @param {Units} units */
function partsWords({ parts, buoy_lift_n }, units) {
  const each = (parts ?? []).map(
    ({ name, length_m, weight_n_per_m, stretches }) =>
      `${name} ${length(length_m, units)} ` +
      (weight_n_per_m < 0 ? "floating up with " : "at ") +
      forceAlong(Math.abs(weight_n_per_m), units) +
      (stretches ? ", which stretches" : ""),
  );
  const lift = buoy_lift_n === null ? "" : ` The buoy carries at most ${force(buoy_lift_n, units)}.`;
  return `Weight of the line, in water below the buoy and in air above it: ${each.join("; ")}.${lift}`;
}

/** @param {Units} units the units stand in the head once, so that the figures have room on a phone */
function headOf(units) {
  const cell = (/** @type {string} */ name, /** @type {string} */ unit, props = {}) =>
    el("th", { scope: "col", ...props }, name, unit && el("span", { class: "unit" }, unit));
  const over = (/** @type {string} */ name, /** @type {string} */ unit, /** @type {number} */ span) =>
    el("th", { scope: "colgroup", colspan: span, class: "over" }, name, unit && el("span", { class: "unit" }, unit));
  return [
    el("colgroup", {}, el("col")),
    el("colgroup", { span: 2 }),
    el("colgroup", { span: 2 }),
    el("colgroup", { span: 3 }),
    el("colgroup", {}, el("col")),
    el(
      "thead",
      {},
      el(
        "tr",
        {},
        cell("Wind", "kn", { rowspan: 2 }),
        over("Load", forceUnit(units), 2),
        over("Radius", unitName(units), 2),
        over("At the anchor", "", 3),
        cell("Buoy", "", { rowspan: 2, class: "place" }),
      ),
      el(
        "tr",
        {},
        cell("formula", "", { class: "first" }),
        cell("table", ""),
        cell("formula", "", { class: "first" }),
        cell("table", ""),
        cell("on bed", unitName(units), { class: "first" }),
        cell("pull", forceUnit(units)),
        cell("up", "°"),
      ),
    ),
  ];
}

/** @param {ReachRow[]} group of one level @param {Levels | null} levels @param {Units} units */
function groupOf(group, levels, units) {
  const { level_m } = group[0];
  const name =
    levels && Math.abs(level_m - levels.low_m) < 0.005
      ? "Low level"
      : levels && Math.abs(level_m - levels.high_m) < 0.005
        ? "High level"
        : "";
  return el(
    "tbody",
    {},
    el(
      "tr",
      { class: "level" },
      el("th", { scope: "rowgroup", colspan: 9 }, `${name ? name + "," : "Level"} ${length(level_m, units)} above datum`),
    ),
    ...group.map((row) => rowOf(row, units)),
    ...wrongIn(group, units).map((words) => el("tr", {}, el("td", { colspan: 9, class: "wrong" }, words))),
  );
}

/** @param {ReachRow} row @param {Units} units */
function rowOf(row, units) {
  // One decimal everywhere, so that the figures of a column stand under each other.
  const metres = (/** @type {number | null | undefined} */ m) => (m === null || m === undefined ? "–" : inUnits(m, units).toFixed(1));
  const newtons = (/** @type {number | null | undefined} */ n) => (n === null || n === undefined ? "–" : inForceUnits(n, units).toFixed(0));
  const { state } = row;
  const place = state?.buoy?.place;
  return el(
    "tr",
    {},
    el("th", { scope: "row" }, knots(row.wind_ms).replace(/\D+$/, "")),
    el("td", { class: "first" }, newtons(row.load_n)),
    el("td", {}, newtons(row.table_load_n)),
    el("td", { class: "first radius-figure" }, metres(row.radius_m)),
    el("td", {}, metres(row.table_radius_m)),
    el("td", { class: "first" }, metres(state?.on_bed_m)),
    el("td", {}, newtons(state?.anchor_pull_n)),
    el("td", {}, state ? state.anchor_pull_up_deg.toFixed(0) : "–"),
    el("td", { class: place && place !== "afloat" ? "place loud" : "place" }, place ?? "–"),
  );
}

/**
 * What is wrong at one level: of each kind the words for the strongest wind, for that is the worst.
 * @param {ReachRow[]} group @param {Units} units
 */
export function wrongIn(group, units) {
  const wrong = group.filter((row) => row.words[units]);
  // A line that does not reach has no state, and a buoy that goes under has one.
  const kinds = [wrong.filter((row) => !row.state), wrong.filter((row) => row.state)].filter((rows) => rows.length);
  return kinds.map((rows) => {
    const { words, wind_ms, state } = rows[rows.length - 1];
    const when = rows.length === group.length ? "In any wind" : `In a wind of ${knots(wind_ms)}`;
    return sentence(when + (state ? " " : ": ") + fieldsInWords(words[units]));
  });
}
