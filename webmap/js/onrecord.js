// On record: what a search finds beside moorings: owners, notes, who waits; and the record of one of them.
/** @import { FindAnswer, Page } from "./types" */
/** @import { Noun, SearchResult } from "./recordtypes" */
import { ask, harborPath } from "./api.js";
import { rowParts } from "./conflicts.js";
import { el, put } from "./dom.js";
import { recordIcon } from "./icons.js";
import { changing, contactParts } from "./record.js";
import { groupsOf, valueWords } from "./recordwords.js";
import { valueAt } from "./merge.js";
import { figures } from "./tackle.js";
import { inWords } from "./units.js";
import { count, sentence } from "./words.js";

/** @type {Record<string, string>} */
const NOUNS = { owner: "owner", note: "note", waiting: "on the waiting list", mooring: "mooring" };

/** What is not among the moorings that were found already. @param {SearchResult[]} results @param {FindAnswer} answer */
export function othersOf(results, answer) {
  const found = new Set((answer.results ?? []).map(({ number }) => number));
  return results.filter(({ noun, name }) => noun !== "mooring" || !found.has(name));
}

/** @param {{title: string, make: () => Node[]}} found @param {SearchResult[]} others @param {boolean} only no mooring was found @param {Page} page */
export function withRecords(found, others, only, page) {
  const list = () => el("ul", { class: "rows", id: "on-record", "aria-label": "On record" }, ...others.map((each) => el("li", {}, el("button", { type: "button", class: "row", click: () => openRecord(each, page) },
    ...rowParts(recordIcon(each.noun), each.title || each.name, [NOUNS[each.noun], inWords(each.words, page.units())].filter(Boolean).join(" · "), each.noun !== "mooring" ? each.number : "")))));
  const title = only ? count(others.length, "record") : `${found.title}, ${count(others.length, "record")}`;
  return { title, make: () => only ? [list()] : [...found.make(), el("h3", {}, "On record"), list()] };
}

/** A mooring or a note is opened where it lies; of an owner and of who waits the record is shown. @param {SearchResult} result @param {Page} page */
export function openRecord({ noun, name, number, title }, page) {
  if (noun === "mooring" || (noun === "note" && number)) return page.open(number || name);
  const box = el("div", { class: "record-card" }, el("p", { class: "quiet" }, "Asking for the record …"));
  fill();
  page.answer(title || name, () => [
    el("p", { class: "quiet" }, NOUNS[noun]), box,
    ...(number ? [el("div", { class: "buttons" }, el("button", { type: "button", class: "plain", click: () => page.open(number) }, `Show mooring ${number}`))] : []),
  ]);

  /** @param {string[]} [saved] */
  async function fill(saved = []) {
    try {
      const { record, may } = await ask(harborPath(page.data.info.slug, `records/${noun}/${encodeURIComponent(name)}`));
      const change = may?.length && page.me.may(noun === "owner" ? "owners" : noun === "note" ? "notes" : "waiting") ? changing(page, "Change the record", /** @type {Noun} */ (noun), name, fill) : null;
      put(box, ...(noun === "owner" ? contactParts(record) : [figures(rowsOf(record))]), saved.length > 0 && el("div", { class: "told saved", role: "status" }, ...saved.map((each) => el("p", {}, each))),
        change && el("div", { class: "buttons" }, change.button), change?.box);
    } catch (problem) {
      put(box, el("div", { class: "refusal" }, el("p", {}, sentence(/** @type {Error} */ (problem).message)), el("button", { type: "button", click: () => fill() }, "Ask again")));
    }
  }

  /** @param {Record<string, import("./recordtypes").Value>} record @returns {[string, string][]} */
  function rowsOf(record) {
    return groupsOf(noun, record).flatMap((group) => group.fields).map((spec) => /** @type {[string, string]} */ ([spec.label, valueWords(noun, spec.path, valueAt(record, spec.path), page.units())])).filter(([, words]) => words !== "not on record");
  }
}
