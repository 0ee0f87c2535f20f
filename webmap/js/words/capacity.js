// Capacity: what is said of a count of places, and the files of their positions for the work boat.
/** @import { Capacity, Position, Units } from "../core/types" */
import { el } from "../core/dom.js";
import { count } from "./names.js";
import { bearing, ddm, length } from "./units.js";

/** @param {Capacity["layout"]} layout whether the whole area is laid out anew for boats like this one */
export const afresh = (layout) => layout === "hexagonal" || layout === "square" || layout === "free";

/** @param {Capacity} c @param {string} area */
export function capacityTitle(c, area) {
  if (afresh(c.layout)) return `${area}, laid out anew, takes ${count(c.count, "boat")} like this one`;
  if (!c.count) return `No more boats like this ${c.ended ? "found yet for" : "fit in"} ${area}`;
  return `${c.count.toLocaleString("en")} more ${c.count === 1 ? "boat like this fits" : "boats like this fit"} in ${area}`;
}

/** How they are laid out, and how far it is from the bound. @param {Capacity} c @param {string} area */
export function layoutWords(c, area) {
  const leftOut = `The moorings that are in ${area} now are left out of it.`;
  const how = {
    as_is: "All moorings stay where they are.",
    moved: (c.moved ?? []).length
      ? `${count((c.moved ?? []).length, "mooring")} of ${area} moved, all others stay.`
      : "None has to be moved: as many go in while all moorings stay where they are.",
    hexagonal: `Laid out in rows that are set off against each other, for boats like this one alone. ${leftOut}`,
    square: `Laid out in rows and columns, for boats like this one alone. ${leftOut}`,
    free: `Laid out freely, for boats like this one alone. ${leftOut}`,
  }[c.layout];
  const most = c.count >= c.upper_bound ? "No layout takes more." : `No layout takes more than ${c.upper_bound.toLocaleString("en")}.`;
  return `${how} ${most}`;
}

/** Rows and distances, where there are any. @param {Capacity} c @param {Units} units @returns {HTMLElement | null} */
export function figuresOf(c, units) {
  if (c.spacing_m === null) return null;
  const line = (/** @type {string} */ name, /** @type {string} */ value) => el("div", {}, el("dt", {}, name), el("dd", {}, value));
  return el(
    "dl",
    { class: "figures" },
    line("Rows", String(c.rows)),
    c.rows_true_deg !== null && line("Rows run", bearing(c.rows_true_deg) + " true"),
    line("Apart in a row", length(c.spacing_m, units)),
    c.row_gap_m !== null && line("Rows apart", length(c.row_gap_m, units)),
  );
}

/** @param {string} text as one field of a CSV (RFC 4180) */
const field = (text) => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** Seven decimals of a degree are a centimetre. @param {number} deg */
const degrees = (deg) => deg.toFixed(7);

/**
 * One row for each new anchor and each mooring that is moved. WGS 84 as everywhere; the headings say the units.
 * @param {Capacity} c @param {Record<string, string>} query @param {Units} units of the distance by which a mooring is moved
 */
export function positionsCSV(c, query, units) {
  const unit = units === "feet" ? "ft" : "m";
  const rows = [["place", "area", "lat_deg", "lon_deg", "position_degrees_decimal_minutes", `moved_by_${unit}`]];
  /** @param {string} name @param {Position} at @param {string} by */
  const add = (name, at, by) =>
    rows.push([name, query.area ?? "", degrees(at.lat_deg), degrees(at.lon_deg), ddm(at).replace("  ", " "), by]);
  (c.positions ?? []).forEach((at, i) => add(`new ${i + 1}`, at, ""));
  for (const each of c.moved ?? []) add(each.number, each.position, length(each.by_m, units).split("\u00a0")[0]);
  return rows.map((row) => row.map(field).join(",")).join("\r\n") + "\r\n";
}

/** @param {Capacity} c */
export function positionsGeoJSON(c) {
  /** @param {string} name @param {Position} at */
  const point = (name, at) => ({
    type: "Feature",
    geometry: { type: "Point", coordinates: [Number(degrees(at.lon_deg)), Number(degrees(at.lat_deg))] },
    properties: { place: name, position_ddm: ddm(at).replace("  ", " ") },
  });
  return (
    JSON.stringify(
      {
        type: "FeatureCollection",
        features: [
          ...(c.positions ?? []).map((at, i) => point(`new ${i + 1}`, at)),
          ...(c.moved ?? []).map((each) => point(each.number, each.position)),
        ],
      },
      null,
      1,
    ) + "\n"
  );
}
