// Waiting list: putting somebody on it, changing what is on record of one who waits, and taking them off. What is open outlasts the list's
// being asked for again.
/** @import { Page } from "../core/types" */
/** @import { News } from "../core/recordtypes" */
import { disclosure } from "../controls/disclosure.js";
import { el, put } from "../core/dom.js";
import { recordCard } from "../sheet/recordcard.js";
import { recordForm } from "../sheet/recordform.js";
import { sentence } from "../words/names.js";

/** @param {Page} page */
export function waitingList(page) {
  const saved = el("div", { class: "told saved", role: "status" });
  const box = el("div", { class: "on-list" });
  /** @type {ReturnType<typeof recordForm> | null} */
  let form = null;
  /** @type {Map<string, {fold: ReturnType<typeof disclosure>, card: ReturnType<typeof recordCard> | null}>} by who waits */
  const cards = new Map();
  const adding = disclosure("Put somebody on the list", () => {
    form = recordForm(page, "waiting", "", async (_acted, _merged, name) => {
      adding.away();
      form = null;
      await told(`${name} is put on the list.`);
    });
    return form.box;
  });

  /** @param {string} words */
  async function told(words) {
    put(saved, el("p", {}, `${words} Who did it and why is on record.`));
    page.say(saved.textContent ?? "");
    await page.refresh();
  }

  /** @param {string} name */
  function cardOf(name) {
    const had = cards.get(name);
    if (had) return had;
    /** @type {{fold: ReturnType<typeof disclosure>, card: ReturnType<typeof recordCard> | null}} */
    const made = {
      card: null,
      fold: disclosure("On record", () => {
        made.card = recordCard(page, "waiting", name, async () => {
          cards.delete(name);
          made.fold.away();
          await told(sentence(`${name} is taken off the list`));
          adding.button.focus({ preventScroll: true });
        });
        return made.card.box;
      }),
    };
    made.fold.button.setAttribute("aria-label", `On record of ${name}`);
    cards.set(name, made);
    return made;
  }

  /** Who may do it may have changed. */
  function render() {
    if (page.me.may("waiting") || adding.isOpen()) {
      if (!box.contains(adding.button)) put(box, adding.button, adding.box, saved);
    } else put(box, saved);
    return box;
  }

  return {
    render,
    /** What is on record of one who waits, folded. @param {string} name */
    part(name) {
      const { fold } = cardOf(name);
      return el("div", { class: "giving known" }, fold.button, fold.box);
    },
    isOpen: () => [...cards.values()].some(({ fold }) => fold.isOpen()),
    /** Other units. */
    rewrite() {
      form?.rewrite();
      for (const { card } of cards.values()) card?.rewrite();
    },
    /** Somebody else has changed something. @param {News} news */
    news(news) {
      for (const { card } of cards.values()) card?.news(news);
    },
  };
}
