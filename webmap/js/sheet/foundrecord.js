// Found record: what a search finds beside moorings: owners, notes, who waits; and the record of one of them.
/** @import { FindAnswer, Page } from "../core/types" */
/** @import { Noun, SearchResult } from "../core/recordtypes" */
import { rowParts } from "../controls/troubles.js";
import { el } from "../core/dom.js";
import { recordIcon } from "../core/icons.js";
import { count, sentence } from "../words/names.js";
import { recordCard } from "./recordcard.js";

/** @type {Record<string, string>} */
const NOUNS = { owner: "owner", note: "note", waiting: "on the waiting list", mooring: "mooring" };

/** What is not among the moorings that were found already. @param {SearchResult[]} results @param {FindAnswer} answer */
export function othersOf(results, answer) {
  const found = new Set((answer.results ?? []).map(({ number }) => number));
  return results.filter(({ noun, name }) => noun !== "mooring" || !found.has(name));
}

/**
 * @param {{title: string, make: () => Node[]}} found
 * @param {SearchResult[]} others
 * @param {boolean} only no mooring was found
 * @param {Page} page
 */
export function withRecords(found, others, only, page) {
  const list = () =>
    el(
      "ul",
      { class: "rows", id: "on-record", "aria-label": "On record" },
      ...others.map((each) =>
        el(
          "li",
          {},
          el(
            "button",
            { type: "button", class: "row", click: () => openRecord(each, page) },
            ...rowParts(
              recordIcon(each.noun),
              each.title || each.name,
              [NOUNS[each.noun], each.words].filter(Boolean).join(" · "),
              each.noun !== "mooring" ? each.number : "",
            ),
          ),
        ),
      ),
    );
  const title = only ? count(others.length, "record") : `${found.title}, ${count(others.length, "record")}`;
  return { title, make: () => (only ? [list()] : [...found.make(), el("h3", {}, "On record"), list()]) };
}

/**
 * A mooring or a note is opened where it lies; of an owner and of who waits the record is shown.
 * @param {SearchResult} result
 * @param {Page} page
 */
export function openRecord({ noun, name, number, title }, page) {
  if (noun === "mooring" || (noun === "note" && number)) return page.open(number || name);
  const card = recordCard(
    page,
    /** @type {Noun} */ (noun),
    name,
    noun === "waiting"
      ? ({ words }) => page.answer(title || name, () => [el("p", {}, `${sentence(words[page.units()])} The history stays.`)])
      : undefined,
  );
  page.answer(title || name, () => {
    card.rewrite();
    return [
      el("p", { class: "quiet" }, NOUNS[noun]),
      card.box,
      ...(number
        ? [
            el(
              "div",
              { class: "buttons" },
              el("button", { type: "button", class: "plain", click: () => page.open(number) }, `Show mooring ${number}`),
            ),
          ]
        : []),
    ];
  });
}
