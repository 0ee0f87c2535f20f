// Icons: small drawings of our own; the states look as they do on the map.
/** @import { Look } from "./types" */
import { svg } from "./dom.js";

/** @param {string} name @param {...SVGElement} parts */
function icon(name, ...parts) {
  return svg("svg", { class: "icon " + name, viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" }, ...parts);
}

/** @param {string} d @param {string} [kind] */
const line = (d, kind = "line") => svg("path", { d, class: kind });

/** @param {string} kind @param {number} r */
const ring = (kind, r) => svg("circle", { cx: 12, cy: 12, r, class: kind });

/** @param {Look} look @returns {SVGSVGElement} */
export function stateIcon(look) {
  switch (look) {
    case "touching":
      return pair("touching", "M9.6 9.4l4.4 2.2M8.7 12l6.2 3.1M9.8 15.6l2.7 1.4M10.8 6.9l3.2 1.7");
    case "may_touch":
      return pair("may-touch", "M8.9 11l6 2.9");
    case "tight":
      return icon("state tight", ring("ring dashed", 9));
    case "trouble":
      return icon("state trouble", ring("ring", 9), line("M8.5 8.5l7 7M15.5 8.5l-7 7", "cross"));
    case "unsaid":
      return icon("state unsaid", ring("ring", 9), svg("text", { x: 12, y: 16.2, class: "number" }, "?"));
    case "unknown":
      return icon("state unknown", ring("ring dotted", 9));
    case "vacant":
      return icon("state vacant", ring("ring", 9));
    default:
      return icon("state clear", ring("ring filled", 9), line("M9 17.5c-1-4 .5-8 3-11c2.5 3 4 7 3 11z", "boat"));
  }
}

/** Two circles and the lens that they share. @param {string} kind @param {string} hatch */
function pair(kind, hatch) {
  return icon(
    "state " + kind,
    svg("circle", { cx: 8, cy: 12, r: 7, class: "ring" }),
    svg("circle", { cx: 16, cy: 12, r: 7, class: "ring" }),
    svg("path", { d: "M12 6.3a7 7 0 0 1 0 11.4a7 7 0 0 1 0-11.4z", class: "lens" }),
    line(hatch, "hatch"),
  );
}

export const hazardIcon = () => icon("hazard", line("M6.5 6.5l11 11M17.5 6.5l-11 11"));
export const troubleIcon = () => stateIcon("trouble");
export const fitsIcon = () => icon("fits", line("M5 12.5l5 5l9-11"));
export const doubtIcon = () => icon("doubt", ring("ring dotted", 9), svg("text", { x: 12, y: 16.5, class: "number" }, "?"));
export const closeIcon = () => icon("", line("M6 6l12 12M18 6l-12 12"));

/** Of a record that is no mooring. @param {string} noun */
export function recordIcon(noun) {
  if (noun === "owner")
    return icon("record", svg("circle", { cx: 12, cy: 8, r: 4, class: "line" }), line("M4.5 20.5c1-5 4-6.5 7.5-6.5s6.5 1.5 7.5 6.5"));
  if (noun === "waiting") return icon("record", ring("line", 9), line("M12 7v5.5l3.5 2"));
  return icon("record", line("M6 3.5h9l4 4v13H6zM9.5 11h6M9.5 15h6"));
}
