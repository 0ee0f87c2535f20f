// Open water parts: what is asked of open water: the best places, how many more go in, a circle that is tried there; and how the map draws
// them.
/** @import { Page, Position, Sought } from "../core/types" */
import { waterChart } from "../map/openwater.js";
import { howManyMore } from "./capacity.js";
import { layoutForm } from "./layoutform.js";
import { numberedPlaces } from "./numberedplaces.js";
import { openWaterForm } from "./openwaterform.js";
import { bestPlaces } from "./places.js";
import { trialCircle } from "./trialcircle.js";

/** @typedef {"room" | "circle" | "capacity"} Act */
/**
 * What it is shown with. `framed`: the address says which part of the map is shown.
 * @typedef {{
 *   map: L.Map, chart: Pick<import("../map/chart.js").Chart, "drawOpen">, view: import("../map/map.js").MapView,
 *   makeRoom(): void, framed: boolean,
 * }} OnMap
 */

/** @param {Page} page @param {OnMap} by */
export function openWaterParts(page, { map, chart, view, makeRoom, framed: byAddress }) {
  chart.drawOpen(waterChart);
  const form = openWaterForm(page);
  const layouts = layoutForm();
  const marks = numberedPlaces(page, view.show);
  const trial = trialCircle(page, map, view, makeRoom);
  // Whoever comes back to an answer by its address comes back to that view of the map.
  const framed = (/** @type {Position[]} */ points) => {
    if (!still) view.showPlaces(points);
  };
  const places = bestPlaces(page, { marks, showAll: framed });
  const capacity = howManyMore(page, { marks, showAll: framed });
  let round = 0;
  let still = false;
  form.areas();

  /** @param {Act} act */
  async function send(act) {
    const asked = form.read();
    still = false;
    if (asked) await find(act, act === "capacity" ? { ...asked, ...layouts.read() } : asked);
  }

  /** @param {Act} act @param {Record<string, string>} query */
  async function find(act, query) {
    const mine = ++round;
    const wanted = () => mine === round;
    form.tell("Asking …", true);
    try {
      if (act === "capacity")
        return await capacity.find(query, () => {
          form.tell("");
          keep(act, query);
        });
      if (act === "room") {
        if (await places.find(query, wanted)) keep(act, query);
        return;
      }
      await trial.put(query);
      if (wanted()) form.tell("");
    } catch (fault) {
      if (wanted()) form.refuse(/** @type {Error} */ (fault));
    }
  }

  /** @param {Sought["answer"]} answer @param {Record<string, string>} query */
  function keep(answer, query) {
    page.store.set({ sought: { answer, query } });
  }

  // The answer is taken away, or another takes its place.
  page.scene.subscribe(["answer"], () => {
    round++;
    form.tell("");
    capacity.away();
    marks.clear();
  });
  page.scene.subscribe(["info"], form.areas);

  return {
    trial,
    marks,
    send,
    /** Brings back what the address holds. @param {Sought} sought @param {boolean} [again] another than at first, by Back or Forward */
    restore({ answer, query }, again = false) {
      if (answer !== "room" && answer !== "capacity") return;
      form.fill(query);
      layouts.fill(query);
      still = byAddress || again;
      find(answer, query);
    },
  };
}
