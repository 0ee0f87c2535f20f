// Circles: every mooring's swing circle, boat and number.
/** @import { Buoy, Frame, Look, Room } from "../core/types" */
import { write } from "./labels.js";

/** A mooring whose radius is unknown or that keeps no water still has to be seen: a ring that holds its number, smaller from far. */
const SYMBOL_PX = { far: 6, near: 14, nearFromZoom: 16.5 };
/** Circles smaller than this are drawn plainly: a dash or a second ring would be a blot. */
const PLAIN_BELOW_PX = 5;
/** Boats are drawn lying to a wind from the south-west: bow toward the anchor, stern away to the north-east. */
const LYING_DEG = 45;
/** A hull shorter than this is a smudge. */
const MIN_HULL_PX = 13;

/**
 * How each state's ring is drawn: width, dash, and whether a second ring lies inside it, with its own dash.
 * @type {Record<Look, {width: number, dash: number[], inner: number[] | null}>}
 */
export const RINGS = {
  clear: { width: 1, dash: [], inner: null },
  vacant: { width: 1, dash: [], inner: null },
  tight: { width: 1.5, dash: [7, 4], inner: null },
  may_touch: { width: 1.6, dash: [], inner: [3, 3] },
  touching: { width: 2.2, dash: [], inner: [] },
  trouble: { width: 1.4, dash: [], inner: null },
  unsaid: { width: 1.3, dash: [2.5, 2.5], inner: null },
  unknown: { width: 1.9, dash: [0.1, 4.5], inner: null },
};

/** From the quiet to the loud, so that the loud lies on top. @type {Look[]} */
const ORDER = ["vacant", "clear", "unsaid", "unknown", "trouble", "tight", "may_touch", "touching"];

/**
 * A circle on the screen; an ellipse by a hair, as the map stretches differently north-south.
 * @typedef {{buoy: Buoy, x: number, y: number, rx: number, ry: number}} Shown
 */

/** @param {Frame} frame @param {Buoy} buoy @returns {Shown} */
export function onScreen(frame, buoy) {
  const known = buoy.radius_m !== null && buoy.radius_m > 0;
  const symbol = frame.zoom >= SYMBOL_PX.nearFromZoom ? SYMBOL_PX.near : SYMBOL_PX.far;
  return {
    buoy,
    x: buoy.x * frame.k - frame.ox,
    y: buoy.y * frame.k - frame.oy,
    rx: known ? (buoy.radius_m ?? 0) * buoy.perMetreX * frame.k : symbol,
    ry: known ? (buoy.radius_m ?? 0) * buoy.perMetreY * frame.k : symbol,
  };
}

/** @param {Frame} frame @param {Buoy[]} buoys @returns {Shown[]} those that reach into the frame */
export function inFrame(frame, buoys) {
  const shown = [];
  for (const buoy of buoys) {
    const each = onScreen(frame, buoy);
    if (each.x + each.rx > 0 && each.y + each.ry > 0 && each.x - each.rx < frame.width && each.y - each.ry < frame.height) shown.push(each);
  }
  return shown;
}

/** @param {CanvasRenderingContext2D} ctx @param {Shown} c @param {number} [inset] in pixels */
export function trace(ctx, c, inset = 0) {
  ctx.moveTo(c.x + c.rx - inset, c.y);
  ctx.ellipse(c.x, c.y, c.rx - inset, c.ry - inset, 0, 0, 2 * Math.PI);
}

/** @param {Frame} frame @param {Shown[]} shown */
export function drawFills({ ctx, theme }, shown) {
  ctx.fillStyle = theme.ringFill;
  ctx.beginPath();
  for (const each of shown) if (each.buoy.status !== "vacant" && each.buoy.radius_m !== null) trace(ctx, each);
  ctx.fill();
}

/** @param {Frame} frame @param {Shown[]} shown */
export function drawRings({ ctx, theme }, shown) {
  for (const look of ORDER) {
    const ring = RINGS[look];
    const these = shown.filter((each) => each.buoy.look === look);
    if (!these.length) continue;
    const large = these.filter((each) => each.rx >= PLAIN_BELOW_PX);
    const small = these.filter((each) => each.rx < PLAIN_BELOW_PX);
    ctx.strokeStyle = theme.ring[look];
    ctx.lineCap = look === "unknown" ? "round" : "butt";
    ctx.lineWidth = Math.min(ring.width, 1.5) * theme.width;
    strokeAll(ctx, small, 0);
    ctx.lineWidth = ring.width * theme.width;
    ctx.setLineDash(ring.dash);
    strokeAll(ctx, large, 0);
    if (ring.inner) {
      ctx.lineWidth = theme.width;
      ctx.setLineDash(ring.inner);
      strokeAll(ctx, large, 3.5);
    }
    ctx.setLineDash([]);
  }
  ctx.lineCap = "butt";
}

/**
 * All rings alike and faint: while the hulls tell where it is tight, the circles only tell whose water it is.
 * @param {Frame} frame
 * @param {Shown[]} shown
 * @param {Set<string>} unlaid of whose boats it cannot be told how they lie; their rings stay dotted
 * @param {number} [strength] how strong the faint ones are
 */
export function drawQuietRings({ ctx, theme }, shown, unlaid, strength = theme.contrast ? 0.6 : 0.4) {
  ctx.strokeStyle = theme.ring.clear;
  ctx.globalAlpha = strength;
  ctx.lineWidth = 0.8;
  strokeAll(
    ctx,
    shown.filter((each) => !unlaid.has(each.buoy.number)),
    0,
  );
  ctx.globalAlpha = 1;
  ctx.lineWidth = RINGS.unknown.width * theme.width;
  ctx.lineCap = "round";
  ctx.setLineDash(RINGS.unknown.dash);
  strokeAll(
    ctx,
    shown.filter((each) => unlaid.has(each.buoy.number)),
    0,
  );
  ctx.setLineDash([]);
  ctx.lineCap = "butt";
}

/** @param {CanvasRenderingContext2D} ctx @param {Shown[]} these @param {number} inset */
function strokeAll(ctx, these, inset) {
  if (!these.length) return;
  ctx.beginPath();
  for (const each of these) trace(ctx, each, inset);
  ctx.stroke();
}

/** @param {Frame} frame @param {Shown[]} shown the boats at their true size, where the scale allows */
export function drawHulls(frame, shown) {
  for (const each of shown) {
    const { buoy } = each;
    const length_m = buoy.length_all_m ?? buoy.loa_m;
    if (!length_m || buoy.radius_m === null || buoy.status === "vacant") continue;
    drawHull(frame, each, length_m, buoy.beam_m, buoy.radius_m);
  }
}

/**
 * A boat with its stern on the swing circle. Without a beam on record its sides are left open.
 * @param {Frame} frame @param {Shown} at @param {number} length_m @param {number | null} beam_m @param {number} radius_m
 */
export function drawHull({ ctx, theme }, at, length_m, beam_m, radius_m) {
  const px = at.ry / radius_m;
  const length = length_m * px;
  if (length < MIN_HULL_PX) return;
  const half = ((beam_m ?? length_m / 3) * px) / 2;
  const bow = at.ry - length;
  const stern = at.ry;
  ctx.save();
  ctx.translate(at.x, at.y);
  ctx.rotate(((LYING_DEG - 90) * Math.PI) / 180);
  ctx.strokeStyle = theme.quiet;
  ctx.lineWidth = 0.6;
  ctx.beginPath();
  ctx.moveTo(0, 0);
  ctx.lineTo(bow, 0);
  ctx.stroke();
  ctx.beginPath();
  ctx.moveTo(bow, 0);
  ctx.bezierCurveTo(bow + length * 0.22, half * 0.85, bow + length * 0.4, half, bow + length * 0.62, half);
  ctx.quadraticCurveTo(stern - length * 0.1, half * 0.95, stern, half * 0.62);
  ctx.lineTo(stern, -half * 0.62);
  ctx.quadraticCurveTo(stern - length * 0.1, -half * 0.95, bow + length * 0.62, -half);
  ctx.bezierCurveTo(bow + length * 0.4, -half, bow + length * 0.22, -half * 0.85, bow, 0);
  ctx.fillStyle = "#fff";
  ctx.fill();
  ctx.lineWidth = 0.9 * theme.width;
  ctx.strokeStyle = theme.ink;
  if (beam_m === null) ctx.setLineDash([2, 2]);
  ctx.stroke();
  ctx.restore();
}

/** @type {Record<Look, number>} whose number is written first where there is no room for all */
const URGENCY = { touching: 0, may_touch: 1, tight: 2, trouble: 3, unknown: 4, unsaid: 5, clear: 6, vacant: 7 };

/** @param {Buoy[]} buoys @returns {Buoy[]} in the order in which their numbers are written */
export function byUrgency(buoys) {
  return [...buoys].sort((a, b) => URGENCY[a.look] - URGENCY[b.look]);
}

/**
 * @param {Frame} frame @param {Shown[]} shown by urgency @param {Room} room
 * @param {ReturnType<typeof import("./labels.js").createMeasure>} measure @param {boolean} [faint] all of them in the manner of vacant ones
 */
export function drawNumbers({ ctx, theme }, shown, room, measure, faint = false) {
  let font = "";
  for (const each of shown) {
    const vacant = faint || each.buoy.status === "vacant";
    const size = Math.round(Math.min(15, Math.max(10.5, each.rx * 0.55)) * 2) / 2;
    const wanted = `${vacant ? 400 : 600} ${size}px ${theme.font}`;
    if (wanted !== font) ctx.font = font = wanted;
    const width = measure(ctx, each.buoy.number);
    // Far out, where the numbers would hide the circles, only some are written, with room around them.
    const sparse = each.rx < 9;
    if (!room.take(each.x, each.y, sparse ? width + 46 : width + 3, sparse ? 40 : size + 2)) continue;
    write(ctx, each.buoy.number, each.x, each.y, vacant ? theme.quiet : theme.ink, theme.halo);
  }
}
