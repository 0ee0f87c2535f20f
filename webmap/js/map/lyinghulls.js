// Lying hulls: every boat's hull at its true place and size as it lies to wind and stream, with the line from its anchor.
/** @import { Fleet, Frame, GapShown, HarborData } from "../core/types" */
import { ROW } from "./frames.js";

const RAD = Math.PI / 180;
/** Figures that a hull is drawn from: bow, bow to stern, and half the beam across, each x and y. */
const PX = 6;
/** A hull shorter than this has no shape; a stroke stands for it. */
const SHAPE_FROM_PX = 6;
/** A hull longer than this is drawn light, with an outline; a shorter one dark, or the field would be a haze of outlines. */
const LIGHT_FROM_PX = 22;
/** The bow narrows along a parabola over this share of the length, as in the outline that the service measures gaps between. */
const BOW_SHARE = 0.45;
/** Lines to the anchor begin this far from it where a number stands there. */
const NUMBER_PX = 11;

const CLEAR = 0;
/** @type {GapShown["state"][]} by the loudness of their look */
export const CLOSE = ["tight", "may_touch", "touching"];

/**
 * How the outline of each state is drawn, in the manner of the rings, and how it is hatched, in that of the lenses.
 * @type {Record<GapShown["state"], {width: number, dash: number[], outer: number[] | null, hatch: "touching" | "may_touch" | null}>}
 */
const OUTLINES = {
  tight: { width: 1.8, dash: [6, 3.5], outer: null, hatch: null },
  may_touch: { width: 1.8, dash: [], outer: [3, 3], hatch: "may_touch" },
  touching: { width: 2.4, dash: [], outer: [], hatch: "touching" },
};

/**
 * @param {HarborData} data @param {{number: string, length_m: number, beam_m: number}[]} boats
 * @returns {Fleet} without those whose mooring the page does not know
 */
export function fleetOf(data, boats) {
  const known = boats.filter((each) => data.byNumber.has(each.number));
  const column = (/** @type {(boat: typeof known[0], buoy: import("../core/types").Buoy) => number} */ of) =>
    Float64Array.from(known, (boat) => of(boat, /** @type {import("../core/types").Buoy} */ (data.byNumber.get(boat.number))));
  return {
    numbers: known.map((each) => each.number),
    index: new Map(known.map((each, i) => [each.number, i])),
    x: column((_, buoy) => buoy.x),
    y: column((_, buoy) => buoy.y),
    perMetreX: column((_, buoy) => buoy.perMetreX),
    perMetreY: column((_, buoy) => buoy.perMetreY),
    length_m: column((boat) => boat.length_m),
    beam_m: column((boat) => boat.beam_m || boat.length_m / 3),
    lies: new Float64Array(known.length * ROW),
    px: new Float64Array(known.length * PX),
    look: new Uint8Array(known.length),
  };
}

/** Gives every hull the look of its closest gap. @param {Fleet} fleet @param {GapShown[]} gaps */
export function setLooks(fleet, gaps) {
  fleet.look.fill(CLEAR);
  for (const { i, j, state } of gaps) {
    const look = CLOSE.indexOf(state) + 1;
    fleet.look[i] = Math.max(fleet.look[i], look);
    fleet.look[j] = Math.max(fleet.look[j], look);
  }
}

/** Where every hull lies on the screen. @param {Frame} frame @param {Fleet} fleet @returns {number} the mean length in pixels */
export function placeHulls({ k, ox, oy }, fleet) {
  const { x, y, perMetreX, perMetreY, length_m, beam_m, lies, px } = fleet;
  let sum = 0;
  for (let n = 0, p = 0, r = 0; n < x.length; n++, p += PX, r += ROW) {
    const mx = perMetreX[n] * k;
    const my = perMetreY[n] * k;
    const load = lies[r + 1] * RAD;
    const stern = lies[r + 2] * RAD;
    const sin = Math.sin(stern);
    const cos = Math.cos(stern);
    px[p] = x[n] * k - ox + lies[r] * Math.sin(load) * mx;
    px[p + 1] = y[n] * k - oy - lies[r] * Math.cos(load) * my;
    px[p + 2] = length_m[n] * sin * mx;
    px[p + 3] = -length_m[n] * cos * my;
    px[p + 4] = (beam_m[n] / 2) * cos * mx;
    px[p + 5] = (beam_m[n] / 2) * sin * my;
    sum += length_m[n] * my;
  }
  return x.length ? sum / x.length : 0;
}

/** @param {Frame} frame @param {Float64Array} px @param {number} p where its figures begin */
function seen({ width, height }, px, p) {
  const x = px[p] + px[p + 2] / 2;
  const y = px[p + 1] + px[p + 3] / 2;
  const reach = Math.abs(px[p + 2]) + Math.abs(px[p + 3]);
  return x > -reach && y > -reach && x < width + reach && y < height + reach;
}

/**
 * Adds a hull to a path, grown by some pixels on every side.
 * @param {CanvasRenderingContext2D} ctx
 * @param {Float64Array} px
 * @param {number} p
 * @param {number} grown
 */
function traceHull(ctx, px, p, grown) {
  let bx = px[p];
  let by = px[p + 1];
  let ax = px[p + 2];
  let ay = px[p + 3];
  let cx = px[p + 4];
  let cy = px[p + 5];
  if (grown) {
    const along = grown / (Math.hypot(ax, ay) || 1);
    const across = 1 + grown / (Math.hypot(cx, cy) || 1);
    // The bow is a point: grown evenly on its sides, it moves farther ahead than the stern moves aft.
    bx -= ax * along * 1.6;
    by -= ay * along * 1.6;
    ax *= 1 + 2.6 * along;
    ay *= 1 + 2.6 * along;
    cx *= across;
    cy *= across;
  }
  const sx = bx + ax * BOW_SHARE;
  const sy = by + ay * BOW_SHARE;
  const hx = bx + (ax * BOW_SHARE) / 2;
  const hy = by + (ay * BOW_SHARE) / 2;
  ctx.moveTo(bx, by);
  ctx.quadraticCurveTo(hx + cx, hy + cy, sx + cx, sy + cy);
  ctx.lineTo(bx + ax + cx, by + ay + cy);
  ctx.lineTo(bx + ax - cx, by + ay - cy);
  ctx.lineTo(sx - cx, sy - cy);
  ctx.quadraticCurveTo(hx - cx, hy - cy, bx, by);
}

/**
 * One path of all hulls of a look.
 * @param {Frame} frame
 * @param {Fleet} fleet
 * @param {number} look
 * @param {number} grown
 * @returns {boolean} whether there are any
 */
function traceAll(frame, { px, look: looks }, look, grown) {
  let any = false;
  frame.ctx.beginPath();
  for (let n = 0, p = 0; n < looks.length; n++, p += PX) {
    if (looks[n] !== look || !seen(frame, px, p)) continue;
    any = true;
    traceHull(frame.ctx, px, p, grown);
  }
  return any;
}

/** @param {Frame} frame @param {Fleet} fleet @param {boolean} numbered whether numbers stand at the anchors */
function drawLines(frame, { x, y, px }, numbered) {
  const { ctx, theme, k, ox, oy } = frame;
  ctx.beginPath();
  for (let n = 0, p = 0; n < x.length; n++, p += PX) {
    if (!seen(frame, px, p)) continue;
    const ax = x[n] * k - ox;
    const ay = y[n] * k - oy;
    const dx = px[p] - ax;
    const dy = px[p + 1] - ay;
    const from = numbered ? Math.min(0.8, NUMBER_PX / (Math.hypot(dx, dy) || 1)) : 0;
    ctx.moveTo(ax + dx * from, ay + dy * from);
    ctx.lineTo(px[p], px[p + 1]);
  }
  ctx.strokeStyle = theme.ink;
  ctx.lineWidth = 0.8 * theme.width;
  ctx.stroke();
}

/** Far out: a stroke for each hull. @param {Frame} frame @param {Fleet} fleet @param {number} look */
function drawStrokes(frame, { px, look: looks }, look) {
  const { ctx, theme } = frame;
  ctx.beginPath();
  for (let n = 0, p = 0; n < looks.length; n++, p += PX) {
    if (looks[n] !== look || !seen(frame, px, p)) continue;
    ctx.moveTo(px[p], px[p + 1]);
    ctx.lineTo(px[p] + px[p + 2], px[p + 1] + px[p + 3]);
  }
  ctx.strokeStyle = look === CLEAR ? theme.ink : theme.ring[CLOSE[look - 1]];
  ctx.lineWidth = look === CLEAR ? 2 : 3.2;
  ctx.stroke();
}

/**
 * @param {Frame} frame @param {Fleet} fleet as placed @param {number} length_px the mean @param {boolean} numbered
 * @param {ReturnType<typeof import("./marks.js").createHatches>} hatches
 */
export function drawHullsLying(frame, fleet, length_px, numbered, hatches) {
  const { ctx, theme } = frame;
  drawLines(frame, fleet, numbered);
  if (length_px < SHAPE_FROM_PX) {
    for (let look = CLEAR; look <= CLOSE.length; look++) drawStrokes(frame, fleet, look);
    return;
  }
  const light = length_px >= LIGHT_FROM_PX;
  ctx.lineJoin = "round";
  if (traceAll(frame, fleet, CLEAR, 0)) {
    ctx.fillStyle = light ? theme.hull : theme.ink;
    ctx.fill();
    if (light) {
      ctx.strokeStyle = theme.ink;
      ctx.lineWidth = 1.1 * theme.width;
      ctx.stroke();
    }
  }
  CLOSE.forEach((state, at) => {
    if (!traceAll(frame, fleet, at + 1, 0)) return;
    const outline = OUTLINES[state];
    ctx.fillStyle = "#fff";
    ctx.fill();
    if (light && outline.hatch) {
      ctx.fillStyle = hatches(frame, outline.hatch, theme.ring[state]);
      ctx.fill();
    }
    ctx.strokeStyle = theme.ring[state];
    ctx.lineWidth = outline.width * theme.width;
    ctx.setLineDash(outline.dash);
    ctx.stroke();
    if (outline.outer) {
      ctx.setLineDash(outline.outer);
      ctx.lineWidth = 1.1 * theme.width;
      traceAll(frame, fleet, at + 1, 4);
      ctx.stroke();
    }
    ctx.setLineDash([]);
  });
}

/** The corners where a hull is broadest, of those below. */
export const SIDES = [5, 8];

/**
 * The corners of a hull on the screen, for finding where two come closest.
 * @param {Fleet} fleet
 * @param {number} n
 * @returns {{x: number, y: number}[]}
 */
export function cornersOf({ px }, n) {
  const p = n * PX;
  const corners = [];
  for (const [along, across] of [
    [0, 0],
    [0.09, 0.36],
    [0.18, 0.64],
    [0.27, 0.84],
    [0.36, 0.96],
    [0.45, 1],
    [1, 1],
    [1, -1],
    [0.45, -1],
    [0.36, -0.96],
    [0.27, -0.84],
    [0.18, -0.64],
    [0.09, -0.36],
  ]) {
    corners.push({ x: px[p] + along * px[p + 2] + across * px[p + 4], y: px[p + 1] + along * px[p + 3] + across * px[p + 5] });
  }
  return corners;
}
