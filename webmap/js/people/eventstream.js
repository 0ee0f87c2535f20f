// Event stream: hears what others change, for as long as the page is seen. Where the line breaks it is taken up again after pauses that
// grow.
/** @import { News } from "../core/recordtypes" */
import { eventReader } from "../core/longrequest.js";

/**
 * The first pause and the longest, before chance makes each a little shorter or longer: many pages that lost the same service do not come
 * back in one moment.
 */
const PAUSE_MS = { first: 1000, longest: 60000, chance: 0.2 };
/** The service says often enough that it is still there; a line that is silent for so long is dead. */
const SILENCE_MS = 90000;
/** A line that has held so long begins with the first pause again when it breaks. */
const HELD_MS = 10000;
/** Answers after which it is no use to ask again. */
const FINAL = [400, 401, 403, 404, 405, 406];

/** @param {number} failures in a row @param {number} chance 0 to 1 */
export function pauseMs(failures, chance) {
  return Math.min(PAUSE_MS.longest, PAUSE_MS.first * 2 ** failures) * (1 + PAUSE_MS.chance * (2 * chance - 1));
}

/**
 * @param {string} address
 * @param {{news(news: News): void, again(): void, since(): number}} told `again`: the line was broken and holds once more; `since`: the
 *   revision that is shown, until something has been told
 */
export function listen(address, told) {
  let line = new AbortController();
  let failures = 0;
  let last = 0;
  let broken = false;
  let going = false;
  let soon = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let pause;

  async function go() {
    clearTimeout(pause);
    if (going || document.hidden) return;
    going = true;
    line = new AbortController();
    const began = performance.now();
    let final = false;
    try {
      final = await listener(line);
    } catch {
      // Broken; it is taken up again.
    }
    going = false;
    broken = true;
    if (final) return;
    if (performance.now() - began > HELD_MS) failures = 0;
    pause = setTimeout(go, soon ? 0 : pauseMs(failures++, Math.random()));
    soon = false;
  }

  /** @param {AbortController} mine @returns {Promise<boolean>} whether it is no use to ask again */
  async function listener(mine) {
    // Named as HTML has it for streams of events (section 9.2.4), so that what was missed is told.
    const response = await fetch(address, {
      headers: { accept: "text/event-stream", "last-event-id": String(last || told.since()) },
      signal: mine.signal,
    });
    if (!response.ok || !response.body) return FINAL.includes(response.status);
    if (broken) told.again();
    broken = false;
    const feed = eventReader((event, data) => {
      if (event === "changed") take(JSON.parse(data));
    });
    const reader = response.body.getReader();
    const decoder = new TextDecoder();
    for (;;) {
      const silent = setTimeout(() => mine.abort(), SILENCE_MS);
      const { value, done } = await reader.read().finally(() => clearTimeout(silent));
      if (done) return false;
      feed(decoder.decode(value, { stream: true }));
    }
  }

  /** @param {News} news */
  function take(news) {
    failures = 0;
    last = news.revision;
    told.news(news);
  }

  document.addEventListener("visibilitychange", () => {
    // A browser keeps only so many lines to one service; a page that nobody sees holds none.
    if (document.hidden) {
      clearTimeout(pause);
      line.abort();
    } else {
      failures = 0;
      go();
    }
  });
  addEventListener("online", () => {
    failures = 0;
    go();
  });
  go();
  return {
    /** Somebody else asks now, who may hear other things. */
    anew() {
      soon = going;
      failures = 0;
      line.abort();
    },
  };
}
