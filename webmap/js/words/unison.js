// Unison: pairs that lie to one wind and stream, in words: how near the two hulls come, and in which weather.
/** @import { Conflict, Design, Levels, Lying, PairWeather, Unison, Units } from "../core/types" */
import { bearing, knots, length } from "./units.js";

/** Streams within so many degrees of dead against the wind, or of along it, are called so. */
const ABOUT_DEG = 60;

/** What an area that says nothing of its design is judged for; the service assumes the same. */
const ASSUMED = { wind_kn: 42, gust: 1.3, scatter_deg: 20 };

/** Whether a pair is judged by its hulls. @param {{lying?: Lying}} pair */
export const byHulls = (pair) => pair.lying === "in_unison";

/** "wind 201° 7 kn, stream 1.2 kn". @param {PairWeather} w */
export function weatherShort(w) {
  const wind = w.wind_ms > 0 ? `wind ${bearing(w.wind_from_deg)} ${knots(w.wind_ms)}` : "no wind";
  return w.stream_ms > 0 ? `${wind}, stream ${knots(w.stream_ms, 1)}` : wind;
}

/** "in a wind from 201° at 7 kn against a stream of 1.2 kn". @param {PairWeather} w */
export function weatherWords(w) {
  const stream = `a stream of ${knots(w.stream_ms, 1)}`;
  const to = bearing(w.stream_to_deg);
  if (!(w.wind_ms > 0)) return w.stream_ms > 0 ? `in no wind and ${stream} to ${to}` : "in no wind and no stream";
  const wind = `in a wind from ${bearing(w.wind_from_deg)} at ${knots(w.wind_ms)}`;
  if (!(w.stream_ms > 0)) return wind;
  // A wind is called after where it comes from, a stream after where it goes: the two names agree where they are opposed.
  const apart = Math.abs(((((w.wind_from_deg - w.stream_to_deg) % 360) + 540) % 360) - 180);
  if (apart <= ABOUT_DEG) return `${wind} against ${stream}`;
  if (apart >= 180 - ABOUT_DEG) return `${wind} with ${stream}`;
  return `${wind} across ${stream} to ${to}`;
}

/** @param {number} level_m @param {Levels | null} levels @param {Units} units */
export function levelIn(level_m, levels, units) {
  const about = (/** @type {number | undefined} */ other) => other !== undefined && Math.abs(level_m - other) < 0.005;
  if (about(levels?.low_m)) return "at low water";
  if (about(levels?.high_m)) return "at high water";
  return `at a level of ${length(level_m, units)}`;
}

/** How near two hulls come, the weather in which they do left aside. @param {number} gap_m @param {Units} units */
function nearness(gap_m, units) {
  return gap_m < 0 ? `hulls overlap ${length(-gap_m, units)}` : `hulls come to ${length(gap_m, units)}`;
}

/** Both in a sentence: "hulls come to 1.4 m in a wind from 196° …"; or why it is not known. @param {Unison} unison @param {Units} units */
export function hullsWords({ gap_m, weather, why, unsettled_a, unsettled_b }, units) {
  if (gap_m === null) return "hulls unknown: " + (why[units] || "something is not on record");
  if (!weather) return nearness(gap_m, units);
  const loose =
    unsettled_a && unsettled_b
      ? " (they hold neither boat: both may lie any way)"
      : unsettled_a || unsettled_b
        ? " (they do not hold one of the boats: it may lie any way)"
        : "";
  return `${nearness(gap_m, units)} ${weatherWords(weather)}${loose}`;
}

/** The same for a row of a list: "hulls overlap 1.7 m, wind 201° 7 kn, stream 1.2 kn". @param {Conflict} conflict @param {Units} units */
export function hullsShort(conflict, units) {
  const weather = conflict.unison?.weather;
  const near =
    conflict.overlap_m > 0 ? `hulls overlap ${length(conflict.overlap_m, units)}` : `hulls ${length(-conflict.overlap_m, units)} apart`;
  return weather ? `${near}, ${weatherShort(weather)}` : near;
}

/** Which way of lying decides in an area. @param {string} area @param {Lying | undefined} lying */
export function decidesWords(area, lying) {
  const where = area ? `In ${area}` : "Here";
  return lying === "in_unison"
    ? `${where} the hulls decide: the boats lie in unison, to one wind and stream.`
    : `${where} the circles decide: each boat may lie in any direction.`;
}

/** What the hulls are looked at in. @param {Design | undefined} design */
export function designWords(design) {
  const d = design ?? { wind_ms: null, gust: null, scatter_deg: null, stream_ms: null, stream_deg: null };
  const assumed = (/** @type {number | null} */ value) => (value === null ? " (assumed)" : "");
  const wind = d.wind_ms === null ? `${ASSUMED.wind_kn}\u00a0kn (assumed)` : knots(d.wind_ms);
  const stream =
    d.stream_ms && d.stream_deg !== null ? `a stream of up to ${knots(d.stream_ms, 1)} to ${bearing(d.stream_deg)} and back` : "no stream";
  const gust = `gusts ${d.gust ?? ASSUMED.gust} times as strong${assumed(d.gust)}`;
  const scatter = `each boat within ${d.scatter_deg ?? ASSUMED.scatter_deg}°${assumed(d.scatter_deg)} of how it should lie`;
  return `Hulls are checked in every wind up to ${wind}, ${gust}, ${stream}, ${scatter}.`;
}
