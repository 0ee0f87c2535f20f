// Pair hulls: two boats that lie in unison, drawn as they lie where they come closest, in the look of their state.
/** @import { Conflict, Frame, HarborData, PairState } from "../core/types" */
import { besideLon, worldOf } from "../core/scale.js";

/** A hull shorter than this is a smudge. */
const MIN_PX = 13;
/** What is written beside two hulls keeps so far from them. */
const BESIDE_PX = 9;

/**
 * How each state looks, never by colour alone: the hatching of a lens within the hulls, and a side drawn as the ring of that state is, with
 * its second line.
 * @type {Record<PairState, {hatch: "touching" | "may_touch" | null, width: number, dash: number[], outer: number[] | null}>}
 */
const LOOK = {
  touching: { hatch: "touching", width: 2.2, dash: [], outer: [] },
  may_touch: { hatch: "may_touch", width: 1.6, dash: [], outer: [3, 3] },
  tight: { hatch: null, width: 1.6, dash: [6, 3.5], outer: null },
  clear: { hatch: null, width: 1, dash: [], outer: null },
};
/** The second line lies so far outside the first. */
const OUTER_PX = 3;
/** On hulls shorter than this a second line and an open hatching would be a blot. */
const PLAIN_BELOW_PX = 30;

/**
 * The hulls of a pair, in pixels, each from its stem round and back.
 * @param {Frame} frame
 * @param {Conflict} conflict
 * @param {number} nearLon
 */
function outlines(frame, { unison }, nearLon) {
  return [unison?.hull_a, unison?.hull_b]
    .filter((ring) => ring?.length)
    .map((ring) =>
      (ring ?? []).map(([lon, lat]) => {
        const { x, y } = worldOf(lat, besideLon(lon, nearLon));
        return { x: x * frame.k - frame.ox, y: y * frame.k - frame.oy };
      }),
    );
}

/** @typedef {{x: number, y: number}} Point */

/** @param {CanvasRenderingContext2D} ctx @param {Point[]} outline */
function trace(ctx, outline) {
  outline.forEach(({ x, y }, i) => (i ? ctx.lineTo(x, y) : ctx.moveTo(x, y)));
  ctx.closePath();
}

/** The longest way from the stem is the length, or hardly more; of the longer of two. @param {Point[][]} hulls */
function longestPx(hulls) {
  return Math.max(0, ...hulls.flatMap(([stem, ...rest]) => rest.map(({ x, y }) => Math.hypot(x - stem.x, y - stem.y))));
}

/** Whether the scale allows the hulls of a pair. @param {Frame} frame @param {Conflict} conflict */
export function hullsShow(frame, conflict) {
  return Boolean(conflict.unison?.hull_a?.length) && longestPx(outlines(frame, conflict, conflict.at.lon_deg)) >= MIN_PX;
}

/**
 * Where the metres of a pair may stand: to either side of the way in which the boats lie, from the middle of the gap or the overlap, in
 * pixels.
 * @param {Frame} frame @param {Conflict} conflict @param {number} width of what is written @returns {Point[]}
 */
export function besideHulls(frame, conflict, width) {
  const hulls = outlines(frame, conflict, conflict.at.lon_deg);
  const [stem, ...rest] = hulls[0] ?? [];
  if (!stem) return [];
  const aft = { x: mean(rest.map(({ x }) => x)) - stem.x, y: mean(rest.map(({ y }) => y)) - stem.y };
  const length = Math.hypot(aft.x, aft.y) || 1;
  const across = { x: aft.y / length, y: -aft.x / length };
  const clear = longestPx(hulls) / 4 + (Math.abs(across.x) * width) / 2 + BESIDE_PX;
  return [clear, -clear, 1.5 * clear, -1.5 * clear].map((px) => ({ x: across.x * px, y: across.y * px }));
}

/** @param {number[]} values */
const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * @param {Frame} frame
 * @param {Conflict} conflict
 * @param {ReturnType<typeof import("./marks.js").createHatches>} hatches
 * @param {number} nearLon
 * @param {HarborData} [data] given where the pair is pointed out: then a line leads from each anchor to its boat
 */
export function drawHullPair(frame, conflict, hatches, nearLon, data) {
  const { ctx, theme } = frame;
  const look = LOOK[conflict.state];
  const hulls = outlines(frame, conflict, nearLon);
  if (data) drawRodes(frame, conflict, hulls, data);
  const colour = conflict.state === "tight" ? theme.ring.tight : theme.lens;
  const plain = longestPx(hulls) < PLAIN_BELOW_PX;
  const width = (plain ? 1.4 : look.width) * theme.width;
  const within = width + 2 * OUTER_PX;
  ctx.lineJoin = "round";
  ctx.beginPath();
  for (const hull of hulls) trace(ctx, hull);
  if (look.outer && !plain) {
    stroke(ctx, within + 2 + 4, theme.halo);
    ctx.setLineDash(look.outer);
    stroke(ctx, within + 2 * theme.width, colour);
    ctx.setLineDash([]);
  }
  stroke(ctx, plain ? width + 3 : within, theme.halo);
  ctx.fillStyle = "#fff";
  ctx.fill();
  if (look.hatch === "touching" || (look.hatch && !plain)) {
    ctx.fillStyle = hatches(frame, look.hatch, theme.lens);
    ctx.fill();
  }
  if (conflict.overlap_m > 0 && hulls.length === 2) fillShared(frame, hulls, colour);
  ctx.setLineDash(plain ? look.dash.map((px) => px / 2) : look.dash);
  for (const hull of hulls) {
    ctx.beginPath();
    trace(ctx, hull);
    stroke(ctx, width, colour);
  }
  ctx.setLineDash([]);
}

/** @param {CanvasRenderingContext2D} ctx @param {number} width @param {string} colour */
function stroke(ctx, width, colour) {
  ctx.lineWidth = width;
  ctx.strokeStyle = colour;
  ctx.stroke();
}

/** What both hulls take up. @param {Frame} frame @param {Point[][]} hulls @param {string} colour */
function fillShared({ ctx }, [one, other], colour) {
  ctx.save();
  ctx.beginPath();
  trace(ctx, one);
  ctx.clip();
  ctx.beginPath();
  trace(ctx, other);
  ctx.fillStyle = colour;
  ctx.fill();
  ctx.restore();
}

/**
 * From each anchor to the stem of its boat.
 * @param {Frame} frame
 * @param {Conflict} conflict
 * @param {Point[][]} hulls
 * @param {HarborData} data
 */
function drawRodes({ ctx, theme, k, ox, oy }, conflict, hulls, data) {
  [conflict.a, conflict.b].forEach((number, i) => {
    const anchor = data.byNumber.get(number);
    const stem = hulls[i]?.[0];
    if (!anchor || !stem) return;
    const x = anchor.x * k - ox;
    const y = anchor.y * k - oy;
    for (const [width, colour] of /** @type {[number, string][]} */ ([
      [4, theme.halo],
      [1.4, theme.selected],
    ])) {
      ctx.beginPath();
      ctx.moveTo(x, y);
      ctx.lineTo(stem.x, stem.y);
      stroke(ctx, width, colour);
    }
  });
}
