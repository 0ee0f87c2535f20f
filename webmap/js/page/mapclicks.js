// Map clicks: what a click, a tap or Enter on the map opens.
/** @import { Hit, Page, Position } from "../core/types" */
/** @import { OnMap } from "./harbor.js" */
import { onPhone } from "../core/dom.js";
import { mapClicks } from "../map/map.js";

/**
 * @param {Page} page @param {OnMap} onMap
 * @param {{picked(at: Position): boolean, chosen(which: number): void, nothing(): void}} how `picked` is asked first and says whether it
 *   took the place; `chosen`: one of the numbered places
 */
export function clicks(page, { map, chart }, { picked, chosen, nothing }) {
  /** @param {Position} at @returns {number} which numbered place lies there; -1: none */
  function markAt(at) {
    const { places } = page.scene.get();
    return places ? chart.markAt(places.spots, at, map.getZoom()) : -1;
  }

  /** @param {Position} at @returns {boolean} whether a numbered place lies there */
  function choosePlace(at) {
    const which = markAt(at);
    if (which >= 0) chosen(which);
    return which >= 0;
  }

  mapClicks(map, page.data, {
    picked: (at) => picked(at) || choosePlace(at),
    over: (at) => markAt(at) >= 0,
    open: (hit) => openHit(page, hit),
    nothing,
    marked: () => !page.scene.get().laid,
  });
}

/** @param {Page} page @param {Hit} hit */
function openHit(page, hit) {
  const stay = !onPhone();
  if (hit.kind === "mooring") page.open(hit.number, { stay });
  else if (hit.kind === "hazard") page.open(hit.hazard.mooring, { hazard: hit.hazard.kind, stay });
  else page.open(hit.conflict.a, { with: hit.conflict.b, stay });
}
