// Moorings: every mooring as a list: what the map shows, for who cannot or will not use it.
/** @import { Buoy, Page } from "../core/types" */
import { createList } from "../controls/list.js";
import { rowParts } from "../controls/troubles.js";
import { byId } from "../core/dom.js";
import { stateIcon } from "../core/icons.js";
import { stateWords } from "../words/names.js";
import { length } from "../words/units.js";

/** @param {Page} page */
export function mooringList(page) {
  const list = createList(/** @type {HTMLElement} */ (byId("moorings")), {
    row: (/** @type {Buoy} */ buoy) => mooringRow(buoy, page),
    open: (buoy) => page.open(buoy.number),
    current: (buoy) => page.store.get().mooring === buoy.number,
  });

  let stale = true;

  function refill() {
    // Sorting them takes a while; nobody may ever look.
    stale = Boolean(byId("moorings").hidden);
    if (stale) return;
    const { area } = page.store.get();
    const these = page.data.buoys.filter((buoy) => !area || buoy.area === area).sort(asPeopleSort);
    list.show(
      these.map((item) => ({ item })),
      [
        area
          ? `There is no mooring in ${area}. Choose all areas to see the rest.`
          : "There is no mooring in this harbor yet. Put a moorings.csv into a folder and run: swingroom import FOLDER",
      ],
    );
  }

  return {
    renew() {
      byId("moorings-count").textContent = page.data.buoys.length.toLocaleString("en");
      refill();
    },
    refill,
    render() {
      if (stale) refill();
      else list.render();
    },
    mark: list.mark,
  };
}

/** @param {Buoy} a @param {Buoy} b 2 before 10 */
function asPeopleSort(a, b) {
  return a.number.localeCompare(b.number, "en", { numeric: true });
}

/** @param {Buoy} buoy @param {Page} page @returns {Node[]} number, boat, state, radius */
export function mooringRow(buoy, page) {
  const title = buoy.number + (buoy.boat ? " · " + buoy.boat : "");
  const words = [page.data.fresh.has(buoy.number) && "changed by another", stateWords(buoy), buoy.area].filter(Boolean).join(" · ");
  const radius = buoy.radius_m === null ? "" : (buoy.radius_bound ? "≤\u00a0" : "") + length(buoy.radius_m, page.units());
  return rowParts(stateIcon(buoy.look), title, words, radius);
}
