// Room: the part of the first question that is about open water. It is fetched when that question is opened.
/** @import { Page } from "./types" */
import { later } from "./later.js";
import { tellRefusal } from "./refusal.js";

/** @param {Page} page @param {Parameters<typeof import("./roomparts.js").roomParts>[1]} deeds */
export function openWater(page, deeds) {
  const parts = later("room", ({ roomParts }) => roomParts(page, deeds));
  let waiting = false;

  /** Follows the view. */
  async function render() {
    const isOpen = () => page.store.get().panel === "where";
    if (!isOpen()) return parts.here()?.trial.away();
    if (waiting) return;
    waiting = true;
    try {
      await parts.get();
    } catch (fault) {
      if (isOpen()) tellRefusal(page, /** @type {Error} */ (fault), () => { page.answer(null); render(); });
    } finally {
      waiting = false;
    }
  }

  return {
    render,
    here: parts.here,
    /** @param {"room" | "circle"} act */
    async send(act) { await (await parts.get()).places.send(act); },
  };
}
