// Address: the state of the view as it stands after the # of the page's address, so that it can be sent to somebody.
/** @import { Asked, Question, Shown, Sought, View, Store, Level, Water } from "./types" */

/** @type {Question[]} */
const QUESTIONS = ["where", "fit", "which", "lie", "next", "free"];

/** What the form of the weather begins with. @type {Asked} */
export const FIRST_WEATHER = { wind_from_deg: 225, wind_kn: 12, gust: 1, stream_to_deg: 0, stream_kn: 0, water: "low" };
/** The strongest that the service takes. */
export const MAX_KN = { wind: 150, stream: 12 };

/** Which answers belong to which question. @type {Partial<Record<Question | "", Sought["answer"][]>>} */
const ANSWERS = { where: ["room", "capacity"], next: ["waiting"], free: ["what_if"] };
/** What an answer is asked by, as the service calls it. */
const SOUGHT = [
  "loa_m",
  "length_all_m",
  "beam_m",
  "draft_m",
  "bow_height_m",
  "boat_kind",
  "rode_m",
  "scope",
  "tackle_of",
  "radius_m",
  "layout",
  "move",
  "open",
  "rule",
  "margin_m",
  "lying",
  "elastic",
  "elastic_ratio",
  "like",
];
/** Longer than this no value is that the page itself puts there. */
const MAX_SOUGHT_LENGTH = 400;

/** Kinds of trouble, in their order; what cannot be said may be hundreds, and is shown when somebody asks for it. @type {Shown[]} */
const TROUBLES = ["conflict", "hazard", "tackle", "limit", "record"];

/** @type {View} */
export const FIRST = {
  harbor: "",
  at: null,
  zoom: null,
  mooring: "",
  with: "",
  hazard: "",
  panel: "",
  list: "troubles",
  kinds: TROUBLES,
  area: "",
  units: "",
  level: "low",
  contrast: false,
  on: "",
  weather: null,
  sought: null,
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
    panel: oneOf(text("ask"), QUESTIONS, ""),
    list: oneOf(text("list"), ["troubles", "moorings"], "troubles"),
    kinds: parseKinds(q.get("kinds")),
    area: text("area"),
    units: oneOf(text("units"), ["feet", "metres"], ""),
    level: parseLevel(text("level")),
    contrast: text("contrast") === "1",
    on: parseMoment(text("on")),
    weather: parseWeather(text),
    sought: parseSought(text),
  };
}

/** @param {View} view */
export function format(view) {
  const q = new URLSearchParams();
  const put = (/** @type {string} */ key, /** @type {string} */ value) => {
    if (value) q.set(key, value);
  };
  put("harbor", view.harbor);
  if (view.at) put("at", view.at.lat_deg.toFixed(6) + "," + view.at.lon_deg.toFixed(6));
  if (view.zoom !== null) put("zoom", String(Math.round(view.zoom * 100) / 100));
  put("mooring", view.mooring);
  put("with", view.with);
  put("hazard", view.hazard);
  put("ask", view.panel);
  put("list", view.list === FIRST.list ? "" : view.list);
  if (view.kinds.join() !== FIRST.kinds.join()) put("kinds", view.kinds.join() || "none");
  put("area", view.area);
  put("units", view.units);
  put("level", view.level === FIRST.level ? "" : typeof view.level === "number" ? view.level + "m" : view.level);
  put("contrast", view.contrast ? "1" : "");
  put("on", view.on);
  if (view.weather) {
    const w = view.weather;
    put("wind", w.wind_from_deg + "," + w.wind_kn);
    put("gust", w.gust === FIRST_WEATHER.gust ? "" : String(w.gust));
    put("stream", w.stream_to_deg + "," + w.stream_kn);
    put("water", typeof w.water === "number" ? w.water + "m" : w.water);
  }
  if (view.sought && ANSWERS[view.panel]?.includes(view.sought.answer)) {
    put("answer", view.sought.answer);
    put("in", view.sought.query.area ?? "");
    for (const key of SOUGHT) put(key, view.sought.query[key] ?? "");
  }
  // Commas are allowed there, and an address with them is easier to read aloud.
  return "#" + q.toString().replaceAll("%2C", ",");
}

/** @param {string} text */
function parseAt(text) {
  const parts = /^(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)$/.exec(text);
  if (!parts) return null;
  const lat = Number(parts[1]);
  const lon = Number(parts[2]);
  return Math.abs(lat) <= 85 && Math.abs(lon) <= 360 ? { lat_deg: lat, lon_deg: lon } : null;
}

/** @param {string} text */
function parseZoom(text) {
  const zoom = Number(text);
  return text && zoom >= 1 && zoom <= 24 ? zoom : null;
}

/** @param {string | null} text @returns {Shown[]} null: the address says nothing of it */
function parseKinds(text) {
  if (text === null) return FIRST.kinds;
  const named = text.split(",");
  return [...TROUBLES, /** @type {Shown} */ ("unsaid")].filter((kind) => named.includes(kind));
}

/** @param {string} text @returns {Level} */
function parseLevel(text) {
  const typed = /^(-?\d+(?:\.\d+)?)m$/.exec(text);
  if (typed) return Number(typed[1]);
  return text === "high" ? "high" : "low";
}

/** A day, or a moment after RFC 3339. @param {string} text */
function parseMoment(text) {
  return /^\d{4}-\d\d-\d\d(?:T\d\d:\d\d(?::\d\d)?(?:Z|[-+]\d\d:\d\d))?$/.test(text) ? text : "";
}

/** A harbor as the service calls it: of a past with when it stood so. @param {string} slug @param {string} on */
export const slugOn = (slug, on) => (slug && on ? slug + "@" + on : slug);
/** The harbor itself. @param {string} slug */
export const plainSlug = (slug) => slug.split("@")[0];

/**
 * @param {(key: string) => string} text
 * @returns {Asked | null} null: the address says nothing of it; what cannot be read of it is left at its first value
 */
function parseWeather(text) {
  if (!["wind", "gust", "stream", "water"].some(text)) return null;
  const wind = parseMover(text("wind"), MAX_KN.wind);
  const stream = parseMover(text("stream"), MAX_KN.stream);
  const gust = Number(text("gust"));
  return {
    wind_from_deg: wind?.deg ?? FIRST_WEATHER.wind_from_deg,
    wind_kn: wind?.kn ?? FIRST_WEATHER.wind_kn,
    gust: gust >= 1 && gust <= 3 ? gust : FIRST_WEATHER.gust,
    stream_to_deg: stream?.deg ?? FIRST_WEATHER.stream_to_deg,
    stream_kn: stream?.kn ?? FIRST_WEATHER.stream_kn,
    water: parseWater(text("water")),
  };
}

/**
 * @param {(key: string) => string} text
 * @returns {Sought | null} null: the address holds no answer, or none of the question that is open
 */
function parseSought(text) {
  const answer = ANSWERS[oneOf(text("ask"), QUESTIONS, "")]?.find((each) => each === text("answer"));
  if (!answer) return null;
  /** @type {Record<string, string>} */
  const query = {};
  if (text("in")) query.area = text("in");
  for (const key of SOUGHT) if (text(key) && text(key).length <= MAX_SOUGHT_LENGTH) query[key] = text(key);
  return { answer, query };
}

/** "225,20": a direction and a speed. @param {string} text @param {number} mostKn */
function parseMover(text, mostKn) {
  const parts = /^(\d+(?:\.\d+)?),(\d+(?:\.\d+)?)$/.exec(text);
  const deg = Number(parts?.[1]);
  const kn = Number(parts?.[2]);
  return deg < 360 && kn <= mostKn ? { deg, kn } : null;
}

/** @param {string} text @returns {Water} */
function parseWater(text) {
  const typed = /^(-?\d+(?:\.\d+)?)m$/.exec(text);
  return typed ? Number(typed[1]) : oneOf(text, /** @type {("high" | "now")[]} */ (["high", "now"]), "low");
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
  store.subscribe(null, (view, _changed, how) => {
    const hash = format(view);
    if (how === "back" || hash === location.hash) return;
    if (how === "push") history.pushState(null, "", hash);
    else history.replaceState(null, "", hash);
  });
  // A hash typed by hand and Back both end in popstate.
  addEventListener("popstate", () => store.back(parse(location.hash)));
}
