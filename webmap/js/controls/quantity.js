// Quantity: what stands in a field as it is typed, and back. What is shown and not touched is never read back: a figure that was rounded to
// be shown would change what is on record.
/** @import { Units } from "../core/types" */
/** @import { Kind, Value } from "../core/recordtypes" */
import { figure, inUnits, parseLength, unitName } from "../words/units.js";

/** The international avoirdupois pound, exact. Source: US Federal Register 24 FR 5348 (1 July 1959). */
const KILOGRAMS_PER_POUND = 0.45359237;
const METRES_PER_INCH = 0.0254;

/** The unit that a bare figure is in. @param {Kind} kind @param {Units} units */
export function unitOf(kind, units) {
  switch (kind) {
    case "length":
      return unitName(units);
    case "size":
      return units === "feet" ? "in" : "mm";
    case "weight":
      return units === "feet" ? "lb" : "kg";
    case "share":
      return "%";
  }
  return "";
}

/** @param {number} value @param {number} decimals at most */
const short = (value, decimals) => String(Number(value.toFixed(decimals)));

/** What is put into the field. @param {Kind} kind @param {Value | undefined} value @param {Units} units */
export function shownText(kind, value, units) {
  if (value === null || value === undefined) return "";
  switch (kind) {
    case "length":
      return units === "metres" ? short(Number(value), 4) : figure(inUnits(Number(value), units));
    case "size":
      return units === "metres" ? short(Number(value) * 1000, 2) : short(Number(value) / METRES_PER_INCH, 3);
    case "weight":
      return units === "metres" ? short(Number(value), 2) : short(Number(value) / KILOGRAMS_PER_POUND, 1);
    case "share":
      return short(Number(value) * 100, 1);
    case "year":
      return value ? String(value) : "";
    case "resident":
      return value ? "yes" : "no";
    case "names":
      return Array.isArray(value) ? value.join(", ") : "";
  }
  return String(value);
}

/** @param {string} text "1 1/2", "3/4", "0.75", "0,75" */
function number(text) {
  const parts = /^(\d+(?:[.,]\d+)?)(?:\s+(\d+)\/(\d+))?$|^(\d+)\/(\d+)$/.exec(text.trim());
  if (!parts) return NaN;
  if (parts[4]) return Number(parts[4]) / Number(parts[5]);
  return Number(parts[1].replace(",", ".")) + (parts[2] ? Number(parts[2]) / Number(parts[3]) : 0);
}

/**
 * @param {string} text
 * @param {Record<string, number>} units to the inner one, by how they are written
 * @param {number} bare of a figure without one
 */
function measured(text, units, bare) {
  const parts = /^(.*?)\s*([a-z"%]*)$/.exec(
    text
      .trim()
      .toLowerCase()
      .replace(/[\u2033\u201d]/g, '"'),
  );
  const unit = parts?.[2] ? units[parts[2]] : bare;
  return unit === undefined ? NaN : number(parts?.[1] ?? "") * unit;
}

/** Digits beyond a tenth of a millimetre or a gram are those of the conversion. @param {number} value @param {number} decimals */
const rounded = (value, decimals) => Math.round(value * 10 ** decimals) / 10 ** decimals;

/**
 * What was typed. @param {Kind} kind @param {string} typed @param {Units} units
 * @returns {{value: Value} | {want: string}} value null: nothing is to stand there; want: what would be right
 */
export function readTyped(kind, typed, units) {
  const text = kind === "long" ? typed.replace(/\s+$/, "") : typed.trim();
  if (!text)
    return {
      value:
        kind === "text" || kind === "long" || kind === "area" || kind === "date" ? "" : kind === "year" ? 0 : kind === "names" ? [] : null,
    };
  const figureOr = (/** @type {number | null} */ value, /** @type {number} */ decimals, /** @type {string} */ want) =>
    value === null || !Number.isFinite(value) ? { want } : { value: rounded(value, decimals) };
  switch (kind) {
    case "length":
      return figureOr(parseLength(text, units), 4, "Type 9.8, 32 ft or 32'6\".");
    case "size":
      return figureOr(
        measured(
          text,
          { mm: 0.001, cm: 0.01, m: 1, in: METRES_PER_INCH, '"': METRES_PER_INCH },
          units === "feet" ? METRES_PER_INCH : 0.001,
        ),
        6,
        "Type 16 mm, 5/8 in or 0.625 in.",
      );
    case "weight":
      return figureOr(
        measured(text, { kg: 1, t: 1000, lb: KILOGRAMS_PER_POUND, lbs: KILOGRAMS_PER_POUND }, units === "feet" ? KILOGRAMS_PER_POUND : 1),
        3,
        "Type 500 kg or 1100 lb.",
      );
    case "share":
      return figureOr(measured(text, { "%": 0.01 }, 0.01), 4, "Type 80 %.");
    case "year":
      return /^\d{4}$/.test(text) ? { value: Number(text) } : { want: "Type 2026." };
    case "date":
      return /^\d{4}-\d\d-\d\d$/.test(text) ? { value: text } : { want: "Type 2026-05-01." };
    case "resident":
      return { value: text === "yes" };
    case "names":
      return {
        value: text
          .split(",")
          .map((each) => each.trim())
          .filter(Boolean),
      };
  }
  return { value: text };
}
