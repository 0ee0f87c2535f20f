// Weather query: the weather that somebody asks about: its first values, how the service is asked, how it is called.
/** @import { Asked, HarborInfo, LiesTo, TideTable, Units, Water } from "../core/types" */
import { FIRST_WEATHER } from "../core/address.js";
import { levelMetres } from "../map/depth.js";
import { signed } from "../words/units.js";

/** The international knot, exact: 1852 m an hour. Source: SI Brochure, 8th edition, table 8. */
export const KNOT_MS = 1852 / 3600;

/**
 * What the form begins with: the wind that boats are drawn lying to anyway, and the harbor's own stream, still.
 * @param {HarborInfo} info
 * @returns {Asked}
 */
export function firstWeather(info) {
  const toward = info.areas.map((area) => area.rules.design?.stream_deg ?? null).find((deg) => deg !== null);
  return { ...FIRST_WEATHER, stream_to_deg: toward ?? FIRST_WEATHER.stream_to_deg, water: info.levels ? FIRST_WEATHER.water : 0 };
}

/** @param {Asked} asked */
export function queryOf({ wind_from_deg, wind_kn, gust, stream_to_deg, stream_kn, water }) {
  return { wind_from_deg, wind_kn, gust, stream_to_deg, stream_kn, level: water };
}

/**
 * "low water, −1.0 ft".
 * @param {Water} water
 * @param {number | null} level_m where it is known better than by its name
 * @param {HarborInfo} info
 * @param {Units} units
 */
export function waterWords(water, level_m, info, units) {
  const metres = level_m ?? (water === "now" ? null : levelMetres(water, info.levels));
  const figure = metres === null ? "" : signed(metres, units);
  if (typeof water === "number") return "water at " + figure;
  return (water === "now" ? "water now" : water + " water") + (figure && ", " + figure);
}

/** @param {Asked} asked @param {HarborInfo} info @param {Units} units @param {TideTable | null} tide @returns {LiesTo} */
export function liesTo(asked, info, units, tide) {
  return { ...asked, level: waterWords(asked.water, asked.water === "now" && tide ? tide.level_m : null, info, units) };
}
