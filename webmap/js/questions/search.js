// Search: one field for a number, a boat, a name or a pasted position.
/** @import { FindAnswer, Page } from "../core/types" */
/** @import { SearchResult } from "../core/recordtypes" */
import { tellRefusal } from "../controls/refusal.js";
import { ask, harborPath } from "../core/api.js";
import { byId, inputById } from "../core/dom.js";
import { part } from "../core/later.js";

const NEAREST = 10;
/** A pause in typing after which the answer is looked up. */
const PAUSE_MS = 250;
/** What may become a position: half of one is no mistake yet, so it waits for Enter. */
const POSITION_LIKE = /[°'"\u2032\u2033,;|:]|\d\.\d|\d\s+\d|^[-+]/;

/**
 * Finds and shows; a single mooring is opened.
 * @param {Page} page
 * @param {string} q
 * @param {boolean} final whether somebody pressed Enter
 * @param {AbortSignal} [signal]
 */
export async function find(page, q, final, signal) {
  /**
   * @type {[FindAnswer, SearchResult[], Awaited<ReturnType<typeof part<"answers">>>, Awaited<ReturnType<typeof part<"onrecord">>> | null]}
   */
  const [answer, recorded, { foundAnswer }, onRecord] = await Promise.all([
    ask(harborPath(page.data.info.slug, "find"), { q, k: NEAREST }, signal),
    onRecordOf(page, q, signal),
    part("answers"),
    page.me.reads() ? part("onrecord") : null,
  ]);
  if (signal?.aborted) return;
  const found = foundAnswer(answer, page);
  const others = onRecord?.othersOf(recorded, answer) ?? [];
  const { title, make } = others.length && onRecord ? onRecord.withRecords(found, others, !answer.results?.length, page) : found;
  page.answer(title, make);
  page.say(title);
  if (!final) return;
  const results = answer.results ?? [];
  if (!results.length && others.length === 1) onRecord?.openRecord(others[0], page);
  else if (answer.understood) page.point(answer.understood);
  else if (results.length === 1) page.open(results[0].number);
}

/**
 * Owners, notes and who waits, for those who may read of them. Without an answer the moorings are shown all the same.
 * @param {Page} page
 * @param {string} q
 * @param {AbortSignal} [signal]
 * @returns {Promise<SearchResult[]>}
 */
async function onRecordOf(page, q, signal) {
  if (!page.me.reads() || POSITION_LIKE.test(q)) return [];
  try {
    return (await ask(harborPath(page.data.info.slug, "search"), { q }, signal)).results ?? [];
  } catch {
    return [];
  }
}

/** @param {Page} page */
export function searchField(page) {
  const input = inputById("q");
  let pause = 0;
  let coming = new AbortController();

  /** @param {boolean} final */
  async function search(final) {
    clearTimeout(pause);
    coming.abort();
    coming = new AbortController();
    const { signal } = coming;
    const q = input.value.trim();
    if (!q) return page.answer(null);
    try {
      await find(page, q, final, signal);
    } catch (fault) {
      if (signal.aborted || !final) return;
      tellRefusal(page, /** @type {Error} */ (fault), (text) => {
        if (text) input.value = text;
        search(true);
      });
    }
  }

  page.me.on(() => {
    input.placeholder = page.me.reads() ? "Number, boat, owner or position" : "Number, boat or position";
  });
  input.addEventListener("input", () => {
    clearTimeout(pause);
    if (!POSITION_LIKE.test(input.value)) pause = setTimeout(() => search(false), PAUSE_MS);
  });
  byId("search").addEventListener("submit", (event) => {
    event.preventDefault();
    search(true);
  });
}
