// Hull gaps: where two hulls come closer than the margin: their metres at the spot, or from far a ring around it.
/** @import { Fleet, Frame, GapShown, Units } from "../core/types" */
import { length } from "../words/units.js";
import { createRoom, write } from "./labels.js";
import { CLOSE, cornersOf, SIDES } from "./lyinghulls.js";

/** Metres are written where hulls are at least this long; farther out a ring marks the spot. */
const WORDS_FROM_PX = 16;
/** What is written beside two hulls keeps so far from their sides. */
const BESIDE_PX = 10;
/** A gap narrower than this is no line yet. */
const MIN_LINE_PX = 3;

/** What stands at a gap, and in the list: as of circles, an overlap is bare. @param {number} gap_m @param {Units} units */
export function gapWords(gap_m, units) {
  return gap_m < 0 ? length(-gap_m, units) : "gap\u00a0" + length(gap_m, units);
}

/** @typedef {{x: number, y: number}} Spot */

/** The point of a line that is nearest to a spot. @param {Spot} at @param {Spot} from @param {Spot} to @returns {Spot} */
function nearestOn(at, from, to) {
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  const square = dx * dx + dy * dy;
  const share = square ? Math.min(1, Math.max(0, ((at.x - from.x) * dx + (at.y - from.y) * dy) / square)) : 0;
  return { x: from.x + share * dx, y: from.y + share * dy };
}

/** @param {Spot[]} ring @returns {Spot} */
function middle(ring) {
  const sum = ring.reduce((so, each) => ({ x: so.x + each.x, y: so.y + each.y }));
  return { x: sum.x / ring.length, y: sum.y / ring.length };
}

/** Where two outlines come closest. @param {Spot[]} a @param {Spot[]} b @returns {[Spot, Spot]} on the one and on the other */
export function closestPoints(a, b) {
  /** @type {[Spot, Spot]} */
  let best = [a[0], b[0]],
    nearest = Infinity;
  for (const [ring, other, turned] of /** @type {[Spot[], Spot[], boolean][]} */ ([
    [a, b, false],
    [b, a, true],
  ])) {
    for (const corner of ring) {
      for (let n = 0; n < other.length; n++) {
        const on = nearestOn(corner, other[n], other[(n + 1) % other.length]);
        const distance = Math.hypot(on.x - corner.x, on.y - corner.y);
        if (distance < nearest) {
          nearest = distance;
          best = turned ? [on, corner] : [corner, on];
        }
      }
    }
  }
  return best;
}

/**
 * @param {Frame} frame
 * @param {Fleet} fleet as placed
 * @param {GapShown[]} gaps
 * @param {number} length_px mean of the hulls
 * @param {Units} units
 */
export function drawGaps(frame, fleet, gaps, length_px, units) {
  if (!gaps.length) return;
  const { ctx, theme } = frame;
  const room = createRoom();
  const near = length_px >= WORDS_FROM_PX;
  ctx.font = "700 12px " + theme.font;
  // The loudest first: where there is no room for all, its metres stand.
  for (const { i, j, gap_m, state } of [...gaps].sort((a, b) => CLOSE.indexOf(b.state) - CLOSE.indexOf(a.state) || a.gap_m - b.gap_m)) {
    // Hulls that overlap come closest nowhere: their metres stand between their middles.
    const [one, other] =
      gap_m < 0 ? [middle(cornersOf(fleet, i)), middle(cornersOf(fleet, j))] : closestPoints(cornersOf(fleet, i), cornersOf(fleet, j));
    const x = (one.x + other.x) / 2;
    const y = (one.y + other.y) / 2;
    if (x < -40 || y < -40 || x > frame.width + 40 || y > frame.height + 40) continue;
    const colour = theme.ring[state];
    if (!near) {
      ring(frame, x, y, colour);
      continue;
    }
    const across = Math.hypot(other.x - one.x, other.y - one.y);
    if (gap_m > 0 && across >= MIN_LINE_PX) line(frame, one, other, colour);
    const text = gapWords(gap_m, units);
    const width = ctx.measureText(text).width + 6;
    const beside = besideHull(fleet, i, width);
    const at = [1, -1, 1.6, -1.6]
      .map((times) => ({ x: x + beside.x * times, y: y + beside.y * times }))
      .find((spot) => room.take(spot.x, spot.y, width, 15));
    if (at) write(ctx, text, at.x, at.y, inkOf(state, theme.contrast), theme.halo);
  }
}

/**
 * From the middle of a hull to where words of some width stand clear of its side.
 * @param {Fleet} fleet
 * @param {number} n
 * @param {number} width
 * @returns {Spot}
 */
function besideHull(fleet, n, width) {
  const corners = cornersOf(fleet, n);
  const side = corners[SIDES[0]];
  const other = corners[SIDES[1]];
  const beam = Math.hypot(side.x - other.x, side.y - other.y) || 1;
  const ux = (side.x - other.x) / beam;
  const uy = (side.y - other.y) / beam;
  const away = beam / 2 + BESIDE_PX + (Math.abs(ux) * width) / 2;
  return { x: ux * away, y: uy * away };
}

/** Vermilion is too light for words; this is its darker shade. @param {GapShown["state"]} state @param {boolean} contrast */
function inkOf(state, contrast) {
  if (contrast) return "#000";
  return state === "tight" ? "#00568a" : "#a34700";
}

/** @param {Frame} frame @param {Spot} one @param {Spot} other @param {string} colour */
function line({ ctx, theme }, one, other, colour) {
  for (const [width, stroke] of /** @type {[number, string][]} */ ([
    [5, theme.halo],
    [2, colour],
  ])) {
    ctx.beginPath();
    ctx.moveTo(one.x, one.y);
    ctx.lineTo(other.x, other.y);
    ctx.lineWidth = width;
    ctx.strokeStyle = stroke;
    ctx.stroke();
  }
}

/** @param {Frame} frame @param {number} x @param {number} y @param {string} colour */
function ring({ ctx, theme }, x, y, colour) {
  for (const [width, stroke] of /** @type {[number, string][]} */ ([
    [5, theme.halo],
    [2, colour],
  ])) {
    ctx.beginPath();
    ctx.arc(x, y, 9, 0, 2 * Math.PI);
    ctx.lineWidth = width;
    ctx.strokeStyle = stroke;
    ctx.stroke();
  }
}
