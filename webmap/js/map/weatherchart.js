// Weather chart: the field as it lies to a weather, drawn: the hulls with their lines, and the gaps between them on top.
/** @import { Frame, Laid, Units } from "../core/types" */
import { drawGaps } from "./hullgaps.js";
import { drawHullsLying, placeHulls } from "./lyinghulls.js";

/**
 * @param {Frame} frame @param {Laid} laid @param {Units} units @param {boolean} numbered whether numbers stand at the anchors
 * @param {ReturnType<typeof import("./marks.js").createHatches>} hatches
 */
export function drawLaid(frame, laid, units, numbered, hatches) {
  const length_px = placeHulls(frame, laid.fleet);
  drawHullsLying(frame, laid.fleet, length_px, numbered, hatches);
  drawGaps(frame, laid.fleet, laid.gaps, length_px, units);
}
