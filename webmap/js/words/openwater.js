// Open water: what is said of a place for a boat: what limits it, how sure it is that there is no better one, what is missing and what
// would help.
/** @import { Limit, Miss, Position, Spot, Units } from "../core/types" */
import { perMetre } from "../core/scale.js";
import { inUnits, length, signed, unitName } from "./units.js";

/** @type {Record<string, string>} where a limit has no name of its own */
const KINDS = {
  shore: "the shore",
  shoal: "shoal water",
  fairway: "the fairway",
  closed_water: "closed water",
  area_edge: "the area's edge",
  tackle: "water too deep for the rode",
};

/** @param {Limit} limit as it stands in a line: "217", "the area's edge" */
export function limitName({ kind, name }) {
  if (kind === "mooring" || ((kind === "fairway" || kind === "closed_water") && name)) return name;
  return KINDS[kind] ?? (name || kind.replaceAll("_", " "));
}

/** The name of a place on the map and in the list. @param {number} index */
export const markName = (index) => String(index + 1);

/**
 * No place has more room than this: rounded up, for a bound that is rounded down would be none.
 * @param {number} metres @param {Units} units
 */
export function bound(metres, units) {
  return (Math.ceil(inUnits(metres, units) * 100 - 1e-6) / 100).toFixed(2) + "\u00a0" + unitName(units);
}

/** What limits a place, the two nearest. @param {Spot} spot @param {Units} units */
export function limitWords(spot, units) {
  return spot.limits
    .slice(0, 2)
    .map((each) => `${limitName(each)} ${signed(each.clearance_m, units)}`)
    .join(", ");
}

/** @param {Spot} spot @param {Units} units */
export function waterWords(spot, units) {
  return [
    `depth ${length(spot.depth_m, units)}`,
    spot.rode_m === null ? "" : `rode ${length(spot.rode_m, units)}`,
    `swings ${length(spot.radius_m, units)}`,
  ]
    .filter(Boolean)
    .join(" · ");
}

/** What is missing, and to what. @param {Miss} miss @param {Units} units */
export function shortWords(miss, units) {
  return (miss.short.length ? miss.short : miss.limits.slice(0, 1))
    .map((each) => `${length(Math.abs(each.clearance_m), units)} to ${limitName(each)}`)
    .join(", ");
}

/** What would free a place. @param {Miss} miss @param {Units} units @returns {string[]} */
export function freeingWords(miss, units) {
  return miss.freeing.map((each) => each.words[units]);
}

/**
 * What stands against a place though there is water enough: a limit of the area, or a record that is missing. The tackle that would be laid
 * is no reason.
 * @param {Spot} spot
 */
export function against({ clearance_m, fit }) {
  return clearance_m < 0 ? null : (fit.verdicts.find((each) => each.fits !== true && each.kind !== "tackle") ?? null);
}

/**
 * A place for the ear: "Fits, 3.2 m to spare; nearest 217".
 * @param {number} clearance_m
 * @param {Limit | null} limit
 * @param {Units} units
 */
export function verdict(clearance_m, limit, units) {
  const name = limit ? limitName(limit) : "";
  if (clearance_m < 0) return `Does not fit: ${length(-clearance_m, units)} short${name && " to " + name}`;
  return `Fits: ${length(clearance_m, units)} to spare${name && ", nearest " + name}`;
}

/** @param {Position} at @param {number} east_m @param {number} north_m @returns {Position} for steps of some metres */
export function moved(at, east_m, north_m) {
  const metre = perMetre(at.lat_deg);
  return {
    lat_deg: at.lat_deg + north_m * metre.y * 360 * Math.cos((at.lat_deg * Math.PI) / 180),
    lon_deg: at.lon_deg + east_m * metre.x * 360,
  };
}
