// Units: the service speaks metres; a person reads feet or metres, and types either.
/** @import { Units } from "../core/types" */

/** The international foot, exact. Source: US Federal Register 24 FR 5348 (1 July 1959). */
export const METRES_PER_FOOT = 0.3048;

const NBSP = "\u00a0";
const MINUS = "\u2212";

/** @param {number} metres @param {Units} units */
export function inUnits(metres, units) {
  return units === "feet" ? metres / METRES_PER_FOOT : metres;
}

/** @param {Units} units */
export function unitName(units) {
  return units === "feet" ? "ft" : "m";
}

/**
 * The figure alone: two decimals below 1, one below 100, none above.
 * @param {number} value
 */
export function figure(value) {
  const size = Math.abs(value);
  const decimals = size < 0.995 ? 2 : size < 99.95 ? 1 : 0;
  const text = size.toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? MINUS + text : text;
}

/**
 * A length with its unit; what is unknown says so.
 * @param {number | null | undefined} metres @param {Units} units
 */
export function length(metres, units) {
  if (metres === null || metres === undefined || !Number.isFinite(metres)) return "unknown";
  return figure(inUnits(metres, units)) + NBSP + unitName(units);
}

/** A length with + or −. @param {number} metres @param {Units} units */
export function signed(metres, units) {
  const text = length(metres, units);
  return metres > 0 ? "+" + text : text;
}

/**
 * Reads a length as people type it: "9.8", "9,8 m", "32 ft", 32'6", "32 ft 6 in". A bare number is in units.
 * @param {string} text @param {Units} units
 * @returns {number | null} metres; null when it cannot be read
 */
export function parseLength(text, units) {
  const plain = text
    .trim()
    .toLowerCase()
    .replace(/[\u2032\u2019]/g, "'")
    .replace(/[\u2033\u201d]|''/g, '"');
  const feet = /^(\d+(?:[.,]\d+)?)\s*(?:ft|feet|foot|')\s*(?:(\d+(?:[.,]\d+)?)\s*(?:in|inch|inches|")?)?$/.exec(plain);
  if (feet) return (number(feet[1]) + number(feet[2] ?? "0") / 12) * METRES_PER_FOOT;
  const one = /^([-\u2212]?\d+(?:[.,]\d+)?)\s*(m|metres?|meters?)?$/.exec(plain);
  if (!one) return null;
  const value = number(one[1]);
  return one[2] || units === "metres" ? value : value * METRES_PER_FOOT;
}

/** @param {string} text */
function number(text) {
  return Number(text.replace(",", ".").replace(MINUS, "-"));
}

/** "087°", true. @param {number} deg */
export function bearing(deg) {
  return String(Math.round(deg) % 360).padStart(3, "0") + "°";
}

/** The knot, exact: a nautical mile in an hour. Source: The International System of Units, 8th edition (2006), table 8. */
const METRES_PER_SECOND_IN_A_KNOT = 1852 / 3600;

/** A speed in knots, whichever units of length are chosen. @param {number} ms @param {number} [decimals] */
export function knots(ms, decimals = 0) {
  return (ms / METRES_PER_SECOND_IN_A_KNOT).toFixed(decimals) + NBSP + "kn";
}

const METRES_PER_INCH = 0.0254;

/** A thickness: millimetres or inches. @param {number} metres @param {Units} units */
export function thickness(metres, units) {
  if (units === "metres") return Math.round(metres * 1000) + NBSP + "mm";
  const sixteenths = Math.round((metres / METRES_PER_INCH) * 16);
  return sixteenths >= 64 ? figure(sixteenths / 16) + NBSP + "in" : fraction(sixteenths) + NBSP + "in";
}

/** @param {number} sixteenths */
function fraction(sixteenths) {
  const whole = Math.floor(sixteenths / 16);
  let top = sixteenths % 16;
  let bottom = 16;
  while (top && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  if (!top) return String(whole);
  return (whole ? whole + NBSP : "") + top + "/" + bottom;
}

/** The international avoirdupois pound, exact. Same source. */
const KILOGRAMS_PER_POUND = 0.45359237;

/** A weight: kilograms beside metres, pounds beside feet. @param {number} kilograms @param {Units} units */
export function weight(kilograms, units) {
  return units === "feet" ? Math.round(kilograms / KILOGRAMS_PER_POUND) + NBSP + "lb" : Math.round(kilograms) + NBSP + "kg";
}

/** The pound-force: the pound by the standard fall of 9.80665 m/s². Source: NIST Special Publication 811 (2008), appendix B.8. */
const NEWTONS_PER_POUND_FORCE = KILOGRAMS_PER_POUND * 9.80665;

/** @param {Units} units */
export function forceUnit(units) {
  return units === "feet" ? "lbf" : "N";
}

/** @param {number} newtons @param {Units} units */
export function inForceUnits(newtons, units) {
  return units === "feet" ? newtons / NEWTONS_PER_POUND_FORCE : newtons;
}

/**
 * A force: newtons beside metres, pounds-force beside feet.
 * @param {number | null | undefined} newtons
 * @param {Units} units
 * @param {number} [decimals]
 */
export function force(newtons, units, decimals = 0) {
  if (newtons === null || newtons === undefined) return "unknown";
  return inForceUnits(newtons, units).toFixed(decimals) + NBSP + forceUnit(units);
}

/** What a metre, or a foot, of a line weighs. @param {number} newtons a metre @param {Units} units */
export function forceAlong(newtons, units) {
  const value = units === "feet" ? inForceUnits(newtons, units) * METRES_PER_FOOT : newtons;
  return figure(value) + NBSP + forceUnit(units) + "/" + unitName(units);
}

/** The acre of the international foot: 43,560 square feet. Source: NIST Special Publication 811 (2008), appendix B.8. */
const SQUARE_FEET_PER_ACRE = 43560;
/** From this part of an acre on, square feet are too many to be read. */
const ACRES_FROM = 0.25;

/** A surface of water: square metres, or square feet and from a quarter on acres. @param {number} squareMetres @param {Units} units */
export function waterArea(squareMetres, units) {
  const size = inUnits(inUnits(squareMetres, units), units);
  if (units === "feet" && size >= ACRES_FROM * SQUARE_FEET_PER_ACRE) return (size / SQUARE_FEET_PER_ACRE).toFixed(2) + NBSP + "acres";
  return Math.round(size).toLocaleString("en") + NBSP + unitName(units) + "²";
}

/** @param {number} squareMetres @param {Units} units */
export function surface(squareMetres, units) {
  return inUnits(inUnits(squareMetres, units), units).toFixed(units === "feet" ? 1 : 2) + NBSP + unitName(units) + "²";
}

/**
 * A position in degrees and decimal minutes, as the service writes it: "44° 12.3450' N  041° 30.1230' W".
 * @param {{lat_deg: number, lon_deg: number}} at
 */
export function ddm(at) {
  /** @param {number} deg @param {number} width @param {string} letters */
  const half = (deg, width, letters) => {
    // In whole ten-thousandths of a minute, so that 59.99996' carries into the degree.
    const units = Math.round(Math.abs(deg) * 600000);
    const minutes = (units % 600000) / 10000;
    const whole = String(Math.floor(units / 600000)).padStart(width, "0");
    return `${whole}° ${minutes.toFixed(4).padStart(7, "0")}' ${letters[deg < 0 ? 1 : 0]}`;
  };
  return `${half(at.lat_deg, 2, "NS")}  ${half(at.lon_deg, 3, "EW")}`;
}
