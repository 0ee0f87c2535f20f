// Take words: what is sent when a place is taken, and what is said where it is not done.
/** @import { PlaceToTake } from "./types" */

const BOAT = ["loa_m", "length_all_m", "beam_m", "draft_m", "bow_height_m"];
const TACKLE = ["rode_m", "scope", "tackle_of", "radius_m"];

/** Eight decimals of a degree are a millimetre. @param {{lat_deg: number, lon_deg: number}} at */
export function positionText({ lat_deg, lon_deg }) {
  const wrapped = ((lon_deg + 180) % 360 + 360) % 360 - 180;
  return `${lat_deg.toFixed(8)}, ${wrapped.toFixed(8)}`;
}

/**
 * @param {PlaceToTake} place @param {Record<string, string>} typed @param {number} revision
 * @returns {Record<string, string | number>} of who comes from the waiting list the boat on the list, else that of the question
 */
export function bodyOf(place, typed, revision) {
  /** @type {Record<string, string | number>} */
  const body = { position: positionText(place.at), revision };
  const take = (/** @type {string[]} */ names, /** @type {Record<string, string>} */ from) => { for (const name of names) if (from[name]) body[name] = from[name]; };
  take(["area", ...TACKLE], place.query);
  if (place.waiting) body.waiting = place.waiting;
  else take(BOAT, place.query);
  take(["boat", "owner", "number", "who", "why", "despite"], typed);
  return body;
}

/** @param {number} status @returns {{title: string, next: string}} */
export function toldOf(status) {
  if (status === 403) return { title: "This service only shows; it does not write.", next: "What you typed is kept. Take the place on the machine on which the service runs, at its own address." };
  if (status === 0 || status >= 500) return { title: "Not known whether it is done.", next: "What you typed is kept. Look on the map whether the mooring is there before you send it again." };
  return { title: "That could not be taken.", next: "What you typed is kept; change it and send it again." };
}
