// Hit test: what lies under a click or a finger.
/** @import { Hit, HarborData } from "../core/types" */
import { besideLon, worldOf, worldPixels } from "../core/scale.js";

/** A finger is this wide, in pixels to each side. */
const FINGER_PX = 14;
/** An anchor may be missed by this much where its circle is too small to hit. */
const ANCHOR_PX = 24;
/** Farther out the marks lie so close that a finger would hit the wrong one. */
const MARKS_FROM_ZOOM = 16.5;

/**
 * @param {HarborData} data
 * @param {{lat: number, lng: number}} at
 * @param {number} zoom
 * @param {number} nearLon
 * @param {boolean} marked whether hazards and overlaps are drawn
 * @returns {Hit | null} a mark before a circle, the circle whose middle is relatively nearest before others
 */
export function hitAt(data, at, zoom, nearLon, marked) {
  const k = worldPixels(zoom);
  const here = worldOf(at.lat, besideLon(at.lng, nearLon));
  const away = (/** @type {{lat_deg: number, lon_deg: number}} */ place) => {
    const there = worldOf(place.lat_deg, besideLon(place.lon_deg, nearLon));
    return Math.hypot(there.x - here.x, there.y - here.y) * k;
  };
  const mooring = circleAt(data, here, k);
  if (marked && zoom >= MARKS_FROM_ZOOM) {
    const hazard = nearest(data.report.hazards, (each) => away(each.at));
    if (hazard) return { kind: "hazard", hazard };
    const conflict = nearest(data.report.conflicts, (each) => (each.state === "tight" ? Infinity : away(each.at)));
    if (conflict) return { kind: "conflict", conflict };
  }
  return mooring ? { kind: "mooring", number: mooring } : null;
}

/** @template T @param {T[]} all @param {(each: T) => number} px */
function nearest(all, px) {
  let best = null;
  let nearest = FINGER_PX;
  for (const each of all) {
    const distance = px(each);
    if (distance < nearest) {
      best = each;
      nearest = distance;
    }
  }
  return best;
}

/** @param {HarborData} data @param {{x: number, y: number}} here @param {number} k */
function circleAt(data, here, k) {
  let best = "";
  let nearest = 1;
  for (const buoy of data.buoys) {
    const px = Math.hypot((buoy.x - here.x) * k, (buoy.y - here.y) * k);
    const reach = Math.max((buoy.radius_m ?? 0) * buoy.perMetreY * k, ANCHOR_PX);
    if (px / reach < nearest) {
      best = buoy.number;
      nearest = px / reach;
    }
  }
  return best;
}
