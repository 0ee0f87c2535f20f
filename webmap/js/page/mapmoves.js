// Map moves: to a mooring, to two of them, to a hazard, and to what the address asks for at first.
/** @import { HarborData, Page, Position, View } from "../core/types" */
/** @import { OnMap } from "./harbor.js" */

/**
 * @param {HarborData} data @param {OnMap["view"]} view @param {string} number
 * @param {{with?: string, hazard?: string}} [trouble] that is to be seen @param {boolean} [atOnce]
 */
export function moveTo(data, view, number, { with: other, hazard } = {}, atOnce = false) {
  const spot = data.report.hazards.find((each) => each.mooring === number && each.kind === hazard)?.at;
  const buoy = data.byNumber.get(number);
  if (other && data.byNumber.has(other)) view.showPair(number, other, atOnce);
  else if (spot ?? buoy) view.show(/** @type {Position} */ (spot ?? buoy), undefined, atOnce);
}

/** @param {Page} page @param {Pick<OnMap, "map" | "view">} onMap @param {View} first what the address asks for */
export function firstView({ data, scene }, { map, view }, first) {
  const { greeting } = scene.get();
  if (first.at) map.setView([first.at.lat_deg, first.at.lon_deg], first.zoom ?? 17, { animate: false });
  else if (first.mooring) moveTo(data, view, first.mooring, first, true);
  else if (greeting) view.showPair(greeting.a, greeting.b, true);
  else view.showAll(true);
}
