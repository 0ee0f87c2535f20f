// Room parts: the best places in open water, a circle that is tried there, and how the map draws both.
/** @import { Page, Position } from "./types" */
import { waterChart } from "./openwater.js";
import { bestPlaces } from "./places.js";
import { trialCircle } from "./trialcircle.js";

/** @typedef {ReturnType<typeof import("./chart.js").createChart>} Chart */

/**
 * @param {Page} page
 * @param {{map: L.Map, chart: Chart, shown(): void, showAll(points: Position[]): void, show(at: Position, zoom?: number): void, middle(): Position, makeRoom(): void, keepInSight(at: Position): void}} deeds
 */
export function roomParts(page, { map, chart, shown, showAll, show, middle, makeRoom, keepInSight }) {
  chart.drawOpen(waterChart);
  const trial = trialCircle(page, map, { out: chart.places, moved: chart.trial, middle, keepInSight, show: (at) => show(at, map.getZoom()), makeRoom });
  const places = bestPlaces(page, { shown, showAll, show: (at) => show(at), trial: trial.put });
  places.areas();
  return { places, trial };
}
