// Follow harbor: what lies in the harbor comes piece by piece, and anew when it has changed or somebody else asks; the scene says so.
/** @import { Page, View } from "../core/types" */
/** @import { OnMap, Parts } from "./harbor.js" */
import { fetchSoon } from "../core/later.js";
import { firstView } from "./mapmoves.js";
import { keepFresh } from "./refresh.js";

/**
 * @param {Page} page @param {OnMap} onMap @param {Parts} parts
 * @param {{first: View, coming: import("../core/loadharbor.js").Coming}} begin what the address asks for, and what is asked for already
 */
export function followHarbor(page, onMap, parts, { first, coming }) {
  const { store, scene } = page;
  let begun = false;
  if (first.at) firstView(page, onMap, first);

  /** The moorings have come: at first what the address asks for is shown, and later the sheet that is open is asked for again. */
  function moored() {
    const { mooring } = begun ? store.get() : first;
    if (mooring) parts.sheet.open(mooring, false);
    if (!begun && !first.at) firstView(page, onMap, first);
    begun = true;
  }

  const { look, anew } = keepFresh(page, coming, {
    came(piece) {
      if (piece === "moorings") moored();
      const { moorings, report, pieces } = scene.get();
      scene.set({ pieces: pieces + 1, moorings: moorings + Number(piece === "moorings"), report: report + Number(piece === "check") });
    },
    enough() {
      onMap.chart.begin();
      parts.tide.anew();
    },
    usable() {
      fetchSoon();
      if (!first.on) parts.news.get().catch(() => {});
    },
    harbor: () => scene.set({ info: scene.get().info + 1 }),
  });
  parts.refresh = look;
  // Other things may be seen and done by whoever asks now.
  scene.subscribe(["person"], () => {
    if (begun) anew();
  });
}
