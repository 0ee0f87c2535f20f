// Take place: what is sent when a place is taken.
/** @import { PlaceToTake } from "../core/types" */

const BOAT = ["loa_m", "length_all_m", "beam_m", "draft_m", "bow_height_m", "boat_kind"];
const TACKLE = ["rode_m", "scope", "tackle_of", "radius_m"];

/** Eight decimals of a degree are a millimetre. @param {{lat_deg: number, lon_deg: number}} at */
export function positionText({ lat_deg, lon_deg }) {
  const wrapped = ((((lon_deg + 180) % 360) + 360) % 360) - 180;
  return `${lat_deg.toFixed(8)}, ${wrapped.toFixed(8)}`;
}

/**
 * @param {PlaceToTake} place @param {Record<string, string>} typed
 * @returns {Record<string, string>} of who comes from the waiting list the boat on the list, else that of the question
 */
export function bodyOf(place, typed) {
  /** @type {Record<string, string>} */
  const body = { position: positionText(place.at) };
  const take = (/** @type {string[]} */ names, /** @type {Record<string, string>} */ from) => {
    for (const name of names) if (from[name]) body[name] = from[name];
  };
  take(["area", ...TACKLE], place.query);
  if (place.waiting) body.waiting = place.waiting;
  else take(BOAT, place.query);
  take(["boat", "owner", "number"], typed);
  return body;
}
