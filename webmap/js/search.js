// Search: one field for a number, a boat, a name or a pasted position.
/** @import { FindAnswer, Page } from "./types" */
import { ask, harborPath } from "./api.js";
import { foundAnswer, refusalAnswer } from "./answers.js";
import { byId, inputById } from "./dom.js";

const NEAREST = 10;
/** A pause in typing after which the answer is looked up. */
const PAUSE_MS = 250;
/** What may become a position: half of one is no mistake yet, so it waits for Enter. */
const POSITION_LIKE = /[°'"\u2032\u2033,;|:]|\d\.\d|\d\s+\d|^[-+]/;

/** @param {Page} page @param {string} q @param {AbortSignal} [signal] @returns {Promise<FindAnswer>} */
export function find(page, q, signal) {
  return ask(harborPath(page.data.info.slug, "find"), { q, k: NEAREST }, signal);
}

/** Shows what was found; a single mooring is opened. @param {Page} page @param {FindAnswer} answer @param {boolean} final whether somebody pressed Enter */
export function showFound(page, answer, final) {
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
      showFound(page, await find(page, q, signal), final);
    } catch (fault) {
      if (signal.aborted || !final) return;
      const { title, make } = refusalAnswer(/** @type {Error} */ (fault), page, (text) => {
        if (text) input.value = text;
        search(true);
      });
      page.answer(title, make);
      page.say(`${title}. ${/** @type {Error} */ (fault).message}`);
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
