// Address: the state of the view as it stands after the # of the page's address, so that it can be sent to somebody.
/** @import { View, Store, Level } from "./types" */

/** @type {View} */
export const FIRST = {
  harbor: "", at: null, zoom: null, mooring: "", with: "", hazard: "", panel: "", list: "troubles", area: "",
  units: "", level: "low", contrast: false,
};

/** @param {string} hash @returns {View} what cannot be read is left at its first value */
export function parse(hash) {
  const q = new URLSearchParams(hash.replace(/^#/, ""));
  const text = (/** @type {string} */ key) => q.get(key) ?? "";
  return {
    harbor: text("harbor"),
    at: parseAt(text("at")),
    zoom: parseZoom(text("zoom")),
    mooring: text("mooring"),
    with: text("with"),
    hazard: text("hazard"),
    panel: oneOf(text("ask"), ["where", "fit", "which"], ""),
    list: oneOf(text("list"), ["troubles", "moorings"], "troubles"),
    area: text("area"),
    units: oneOf(text("units"), ["feet", "metres"], ""),
    level: parseLevel(text("level")),
    contrast: text("contrast") === "1",
  };
}

/** @param {View} view */
export function format(view) {
  const q = new URLSearchParams();
  const put = (/** @type {string} */ key, /** @type {string} */ value) => { if (value) q.set(key, value); };
  put("harbor", view.harbor);
  if (view.at) put("at", view.at.lat_deg.toFixed(6) + "," + view.at.lon_deg.toFixed(6));
  if (view.zoom !== null) put("zoom", String(Math.round(view.zoom * 100) / 100));
  put("mooring", view.mooring);
  put("with", view.with);
  put("hazard", view.hazard);
  put("ask", view.panel);
  put("list", view.list === FIRST.list ? "" : view.list);
  put("area", view.area);
  put("units", view.units);
  put("level", view.level === FIRST.level ? "" : typeof view.level === "number" ? view.level + "m" : view.level);
  put("contrast", view.contrast ? "1" : "");
  // Commas are allowed there, and an address with them is easier to read aloud.
  return "#" + q.toString().replaceAll("%2C", ",");
}

/** @param {string} text */
function parseAt(text) {
  const parts = /^(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)$/.exec(text);
  if (!parts) return null;
  const lat = Number(parts[1]), lon = Number(parts[2]);
  return Math.abs(lat) <= 85 && Math.abs(lon) <= 360 ? { lat_deg: lat, lon_deg: lon } : null;
}

/** @param {string} text */
function parseZoom(text) {
  const zoom = Number(text);
  return text && zoom >= 1 && zoom <= 24 ? zoom : null;
}

/** @param {string} text @returns {Level} */
function parseLevel(text) {
  const typed = /^(-?\d+(?:\.\d+)?)m$/.exec(text);
  if (typed) return Number(typed[1]);
  return text === "high" ? "high" : "low";
}

/**
 * @template {string} T
 * @template {string} D
 * @param {string} text @param {T[]} allowed @param {D} otherwise
 * @returns {T | D}
 */
function oneOf(text, allowed, otherwise) {
  return allowed.find((each) => each === text) ?? otherwise;
}

/** Keeps the address and the view the same, Back and Forward included. @param {Store} store */
export function followAddress(store) {
  store.on((view, _changed, how) => {
    const hash = format(view);
    if (how === "back" || hash === location.hash) return;
    if (how === "push") history.pushState(null, "", hash);
    else history.replaceState(null, "", hash);
  });
  // A hash typed by hand and Back both end in popstate.
  addEventListener("popstate", () => store.back(parse(location.hash)));
}
