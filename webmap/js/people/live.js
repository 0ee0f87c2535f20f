// Live: what others change is on the map at once, marked until it is looked at, and told in a line.
/** @import { Page } from "../core/types" */
/** @import { News } from "../core/recordtypes" */
import { harborPath } from "../core/api.js";
import { byId, el, put, reducedMotion } from "../core/dom.js";
import { closeIcon } from "../core/icons.js";
import { isOwn } from "../core/send.js";
import { drawNews, PULSE_MS } from "../map/newschart.js";
import { newsWords, numbersOf } from "../words/news.js";
import { listen } from "./eventstream.js";

/** @param {Page} page @param {{draw(draw: typeof drawNews): void, shown(): void, pulse(): void, told(news: News): void}} deeds `shown`: other moorings are marked than before; `pulse`: the marks have to be drawn anew */
export function live(page, deeds) {
  /** When each that has been changed and not yet looked at was changed, by the page's own clock. @type {Map<string, number>} */
  const fresh = new Map();
  /** What the line tells, the newest last. @type {News[]} */
  let told = [];
  let playing = false;
  deeds.draw(drawNews);

  /** @param {News} news */
  async function came(news) {
    if (await isOwn(news.revision)) return;
    deeds.told(news);
    const whole = page.refresh();
    for (const number of numbersOf(news)) fresh.set(number, performance.now());
    page.data.fresh = new Set(fresh.keys());
    told.push(news);
    tell();
    deeds.shown();
    play();
    await whole;
    // What is open on the sheet is looked at already, and has pulsed.
    setTimeout(() => seen(page.store.get().mooring), PULSE_MS);
  }

  function play() {
    if (playing || reducedMotion()) return deeds.pulse();
    playing = true;
    requestAnimationFrame(function step(now) {
      deeds.pulse();
      playing = [...fresh.values()].some((since) => now - since < PULSE_MS);
      if (playing) requestAnimationFrame(step);
      else deeds.pulse();
    });
  }

  /** @param {string} number */
  function seen(number) {
    if (!fresh.delete(number)) return;
    page.data.fresh = new Set(fresh.keys());
    told = told.filter((each) => numbersOf(each).some((one) => fresh.has(one)) || !numbersOf(each).length);
    tell();
    deeds.shown();
    deeds.pulse();
  }

  function tell() {
    const box = byId("news"), last = told.at(-1);
    box.hidden = !last;
    if (!last) return put(box);
    const [number] = numbersOf(last), more = told.length - 1;
    put(box,
      el("p", {}, newsWords(last), more > 0 && el("span", { class: "quiet" }, ` and ${more} more ${more === 1 ? "change" : "changes"} before`)),
      number !== undefined && page.data.byNumber.has(number) && el("button", { type: "button", class: "plain", click: () => page.open(number) }, `Show ${number}`),
      el("button", { type: "button", class: "icon-button", "aria-label": "Away with this line; the marks stay", click: () => { told = []; tell(); byId("map").focus({ preventScroll: true }); } }, closeIcon()));
    page.say(newsWords(last));
  }

  const line = listen("api/" + harborPath(page.data.info.slug, "changes"), { news: came, again: () => { page.refresh(); }, since: () => page.data.info.revision });
  page.me.on(() => line.anew());
  return {
    /** What the map draws. @returns {{fresh: Map<string, number>} | null} */
    marks: () => fresh.size ? { fresh } : null,
    seen,
  };
}
