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

/** @param {Page} page @param {Pick<import("../map/chart.js").Chart, "drawNews" | "pulse">} chart */
export function live(page, chart) {
  const { store, scene } = page;
  /** When each that has been changed and not yet looked at was changed, by the page's own clock. @type {Map<string, number>} */
  const fresh = new Map();
  /** What the line tells, the newest last. @type {News[]} */
  let told = [];
  let playing = false;
  chart.drawNews(drawNews);

  /** The map and the lists show what is marked now. */
  const publish = () => scene.set({ marked: fresh.size ? { fresh } : null });

  /** @param {News} news */
  async function came(news) {
    if (await isOwn(news.revision)) return;
    scene.set({ news });
    const whole = page.refresh();
    for (const number of numbersOf(news)) fresh.set(number, performance.now());
    page.data.fresh = new Set(fresh.keys());
    told.push(news);
    tell();
    publish();
    play();
    await whole;
    // What is open on the sheet is looked at already, and has pulsed.
    setTimeout(() => seen(store.get().mooring), PULSE_MS);
  }

  function play() {
    if (playing || reducedMotion()) return chart.pulse();
    playing = true;
    requestAnimationFrame(function step(now) {
      chart.pulse();
      playing = [...fresh.values()].some((since) => now - since < PULSE_MS);
      if (playing) requestAnimationFrame(step);
      else chart.pulse();
    });
  }

  /** @param {string} number */
  function seen(number) {
    if (!fresh.delete(number)) return;
    page.data.fresh = new Set(fresh.keys());
    told = told.filter((each) => numbersOf(each).some((one) => fresh.has(one)) || !numbersOf(each).length);
    tell();
    publish();
    chart.pulse();
  }

  function tell() {
    const box = byId("news");
    const last = told.at(-1);
    box.hidden = !last;
    if (!last) return put(box);
    const [number] = numbersOf(last);
    const more = told.length - 1;
    put(
      box,
      el(
        "p",
        {},
        newsWords(last),
        more > 0 && el("span", { class: "quiet" }, ` and ${more} more ${more === 1 ? "change" : "changes"} before`),
      ),
      number !== undefined &&
        page.data.byNumber.has(number) &&
        el("button", { type: "button", class: "plain", click: () => page.open(number) }, `Show ${number}`),
      el(
        "button",
        {
          type: "button",
          class: "icon-button",
          "aria-label": "Close this line; the marks stay",
          click: () => {
            told = [];
            tell();
            byId("map").focus({ preventScroll: true });
          },
        },
        closeIcon(),
      ),
    );
    page.say(newsWords(last));
  }

  const line = listen("api/" + harborPath(page.data.info.slug, "changes"), {
    news: came,
    again: () => {
      page.refresh();
    },
    since: () => page.data.info.revision,
  });
  page.me.on(() => line.anew());
  store.subscribe(["mooring"], ({ mooring }) => seen(mooring));
}
