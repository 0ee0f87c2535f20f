// Open water: the part of the first question that is about open water. It is fetched when that question is opened.
/** @import { Page } from "../core/types" */
import { tellRefusal } from "../controls/refusal.js";
import { later } from "../core/later.js";

/** @param {Page} page @param {import("./openwaterparts.js").OnMap} onMap */
export function openWater(page, onMap) {
  const parts = later("room", ({ openWaterParts }) => openWaterParts(page, onMap));
  let waiting = false;

  const isOpen = () => page.store.get().panel === "where";

  /** Follows the view. */
  async function render() {
    if (!isOpen()) return parts.here()?.trial.away();
    if (waiting) return;
    waiting = true;
    try {
      const had = parts.here();
      const made = await parts.get();
      const { sought } = page.store.get();
      if (!had && sought && isOpen()) made.restore(sought);
    } catch (fault) {
      if (isOpen())
        tellRefusal(page, /** @type {Error} */ (fault), () => {
          page.answer(null);
          render();
        });
    } finally {
      waiting = false;
    }
  }

  page.store.subscribe(["panel"], render);
  page.store.subscribe(["sought"], ({ sought }, _changed, how) => {
    // Back or Forward has led to another answer, or to none.
    if (how !== "back") return;
    if (sought && isOpen()) parts.here()?.restore(sought, true);
    else if (page.scene.get().places) page.answer(null);
  });

  return {
    render,
    here: parts.here,
    /** @param {import("./openwaterparts.js").Act} act */
    async send(act) {
      await (await parts.get()).send(act);
    },
  };
}
