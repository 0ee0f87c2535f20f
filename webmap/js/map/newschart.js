// News chart: moorings that somebody else has changed. At first a ring runs out from each and fades; strokes round its circle stay until it
// is looked at, so that they are told by their shape.
/** @import { Frame, HarborData } from "../core/types" */
import { onScreen, trace } from "./circles.js";

export const PULSE_MS = 2400;
/** Rings that run out one after the other in that time. */
const RINGS = 2;
/** How far they run, and the strokes: how many, how long, how far from the circle; in pixels. */
const RUN_PX = 34;
const STROKES = 12;
const STROKE_PX = 7;
const OFF_PX = 5;

/**
 * @param {Frame} frame
 * @param {{fresh: Map<string, number>}} news
 * @param {HarborData} data
 * @param {number} nowMs
 * @param {boolean} still nothing is to move
 */
export function drawNews(frame, { fresh }, data, nowMs, still) {
  const { ctx, theme } = frame;
  ctx.lineCap = "round";
  for (const [number, sinceMs] of fresh) {
    const buoy = data.byNumber.get(number);
    if (!buoy) continue;
    const at = onScreen(frame, buoy);
    for (const [width, colour] of /** @type {[number, string][]} */ ([
      [5, theme.halo],
      [2.2 * theme.width, theme.selected],
    ])) {
      ctx.beginPath();
      for (let i = 0; i < STROKES; i++) stroke(ctx, at, (i / STROKES) * 2 * Math.PI);
      ctx.lineWidth = width;
      ctx.strokeStyle = colour;
      ctx.stroke();
    }
    const gone = (nowMs - sinceMs) / PULSE_MS;
    if (!still && gone < 1) pulse(frame, at, gone);
  }
  ctx.lineCap = "butt";
}

/** @param {CanvasRenderingContext2D} ctx @param {import("./circles.js").Shown} at @param {number} angle */
function stroke(ctx, at, angle) {
  const x = Math.cos(angle);
  const y = Math.sin(angle);
  ctx.moveTo(at.x + x * (at.rx + OFF_PX), at.y + y * (at.ry + OFF_PX));
  ctx.lineTo(at.x + x * (at.rx + OFF_PX + STROKE_PX), at.y + y * (at.ry + OFF_PX + STROKE_PX));
}

/** @param {Frame} frame @param {import("./circles.js").Shown} at @param {number} gone of the whole time, 0 to 1 */
function pulse({ ctx, theme }, at, gone) {
  for (let i = 0; i < RINGS; i++) {
    const run = gone * RINGS - i;
    if (run <= 0 || run >= 1) continue;
    ctx.globalAlpha = (1 - run) * 0.9;
    ctx.beginPath();
    trace(ctx, at, -run * RUN_PX);
    ctx.lineWidth = 3 * theme.width;
    ctx.strokeStyle = theme.selected;
    ctx.stroke();
    ctx.globalAlpha = 1;
  }
}
