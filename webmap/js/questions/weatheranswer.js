// Weather answer: how the boats lie, as a list under the form: the gaps under the margin, what the boats lie to, and which cannot be laid.
/** @import { GapShown, Page, Reel, WeatherCollection, Words } from "../core/types" */
import { createList } from "../controls/list.js";
import { rowParts } from "../controls/troubles.js";
import { el } from "../core/dom.js";
import { stateIcon } from "../core/icons.js";
import { gapWords } from "../map/hullgaps.js";
import { count, LOOKS, sentence } from "../words/names.js";
import { length } from "../words/units.js";

/** @typedef {{a: string, b: string, gap_m: number, state: GapShown["state"], margin_m: number | null, when: string, open(): void}} Row */

/** What each boat lies to, as it is counted. @type {[string, string][]} */
const TO = [
  ["wind", "to the wind"],
  ["stream", "to the stream"],
  ["both", "to both"],
  ["calm", "slack, with neither wind nor stream"],
];

/** @param {WeatherCollection} answer @returns {Row[]} closest first, as the service has them @param {Page} page */
export function gapRows(answer, page) {
  return answer.features
    .map(({ properties: p }) => p)
    .filter((p) => p.kind === "gap")
    .map((p) => ({
      a: p.number,
      b: p.nearest ?? "",
      gap_m: p.gap_m ?? 0,
      state: /** @type {GapShown["state"]} */ (p.state),
      margin_m: p.margin_m,
      when: "",
      open: () => page.open(p.number, { with: p.nearest ?? "" }),
    }));
}

/** "437 boats lie to the wind, 4 to both." @param {WeatherCollection} answer */
export function liesWords(answer) {
  const parts = TO.map(([to, words]) => ({
    words,
    n: answer.features.filter((each) => each.properties.kind === "hull" && each.properties.lies_to === to).length,
  })).filter((each) => each.n);
  if (!parts.length) return "No boat can be drawn.";
  return (
    parts
      .map(({ n, words }, i) => (i ? n.toLocaleString("en") : `${count(n, "boat")} ${n === 1 ? "lies" : "lie"}`) + " " + words)
      .join(", ") + "."
  );
}

/**
 * @param {number} gaps
 * @param {number} laid how many boats could be laid
 * @param {number} unlaid how many could not
 * @param {string} [when]
 */
export function gapsTitle(gaps, laid, unlaid, when = "") {
  if (!laid) return "Nothing could be checked";
  if (gaps) return `${count(gaps, "gap")} under the margin${when}`;
  return `All hulls${unlaid ? " that could be drawn" : ""} keep their margin${when}`;
}

/**
 * @param {Page} page @param {{title: string, words: string, laid: number, rows: Row[], unknown: {mooring: string, words: Words}[]}} answer
 * @returns {Node[]}
 */
export function weatherAnswer(page, { title, words, laid, rows, unknown }) {
  const units = page.units();
  const rest = rows.length || !laid ? "" : "None comes nearer to another than its area asks. ";
  const list = el("ul", { class: "rows", "aria-label": "Gaps under the margin, closest first" });
  createList(list, {
    row: (/** @type {Row} */ row) =>
      rowParts(
        stateIcon(row.state),
        `${row.a} and ${row.b}`,
        [LOOKS[row.state], row.margin_m === null ? "" : "margin " + length(row.margin_m, units), row.when].filter(Boolean).join(" · "),
        gapWords(row.gap_m, units),
      ),
    open: (row) => row.open(),
  }).show(
    rows.map((item) => ({ item })),
    [],
  );
  return [
    el("h2", {}, title),
    el("p", { class: "quiet" }, rest, words),
    rows.length ? list : el("p", { hidden: true }),
    unknown.length
      ? el(
          "details",
          { class: "unlaid" },
          el("summary", {}, `${count(unknown.length, "boat")} cannot be laid`),
          el(
            "ul",
            { class: "rows" },
            ...unknown.map((each) =>
              el(
                "li",
                {},
                el(
                  "button",
                  { type: "button", class: "row", click: () => page.open(each.mooring) },
                  ...rowParts(stateIcon("unknown"), each.mooring, sentence(each.words[units]), ""),
                ),
              ),
            ),
          ),
        )
      : el("p", { hidden: true }),
  ];
}

/** @param {WeatherCollection} answer @returns {{mooring: string, words: Words}[]} */
export function unlaidOf(answer) {
  return answer.features
    .filter((each) => each.properties.kind === "unknown")
    .map(({ properties }) => ({
      mooring: properties.number,
      words: { feet: properties.words_feet ?? "", metres: properties.words_metres ?? "" },
    }));
}

/**
 * The pairs that come under the margin while a reel plays, each with the moment when it is closest.
 * @param {Reel} reel @param {{i: number, j: number, gap_m: number, frame: number}[]} pairs @param {(frame: number) => string} when
 * @param {(gap: {i: number, j: number, gap_m: number}) => GapShown["state"]} stateOf
 * @param {(frame: number, a: string, b: string) => void} open
 * @returns {Row[]}
 */
export function playedRows(reel, pairs, when, stateOf, open) {
  return pairs.map((pair) => {
    const a = reel.numbers[pair.i];
    const b = reel.numbers[pair.j];
    return { a, b, gap_m: pair.gap_m, state: stateOf(pair), margin_m: null, when: when(pair.frame), open: () => open(pair.frame, a, b) };
  });
}
