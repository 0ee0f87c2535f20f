// Search: one field for a number, a boat, a name or a pasted position.
/** @import { FindAnswer, Page } from "./types" */
import { ask, harborPath } from "./api.js";
import { byId, inputById } from "./dom.js";
import { part } from "./later.js";
import { tellRefusal } from "./refusal.js";

const NEAREST = 10;
/** A pause in typing after which the answer is looked up. */
const PAUSE_MS = 250;
/** What may become a position: half of one is no mistake yet, so it waits for Enter. */
const POSITION_LIKE = /[°'"\u2032\u2033,;|:]|\d\.\d|\d\s+\d|^[-+]/;

/** Finds and shows; a single mooring is opened. @param {Page} page @param {string} q @param {boolean} final whether somebody pressed Enter @param {AbortSignal} [signal] */
export async function find(page, q, final, signal) {
  /** @type {[FindAnswer, Awaited<ReturnType<typeof part<"answers">>>]} */
  const [answer, { foundAnswer }] = await Promise.all([ask(harborPath(page.data.info.slug, "find"), { q, k: NEAREST }, signal), part("answers")]);
  if (signal?.aborted) return;
  const { title, make } = foundAnswer(answer, page);
  page.answer(title, make);
  page.say(title);
  if (!final) return;
  const results = answer.results ?? [];
  if (answer.understood) page.point(answer.understood);
  else if (results.length === 1) page.open(results[0].number);
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
    const { signal } = coming, q = input.value.trim();
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

  input.addEventListener("input", () => {
    clearTimeout(pause);
    if (!POSITION_LIKE.test(input.value)) pause = setTimeout(() => search(false), PAUSE_MS);
  });
  byId("search").addEventListener("submit", (event) => {
    event.preventDefault();
    search(true);
  });
}
