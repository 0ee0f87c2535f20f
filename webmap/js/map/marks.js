// Marks: where circles share water, where they come against something fixed, and what is pointed out.
/** @import { Conflict, Frame, Hazard, HarborData, Focus, Tried, Units, Position, Room } from "../core/types" */
import { otherOf } from "../core/data.js";
import { besideLon, perMetre, worldOf } from "../core/scale.js";
import { byHulls } from "../words/unison.js";
import { length } from "../words/units.js";
import { drawHull, onScreen, trace } from "./circles.js";
import { write } from "./labels.js";
import { addLens } from "./lens.js";
import { besideHulls, drawHullPair, hullsShow } from "./pairhulls.js";

/** @typedef {import("./circles.js").Shown} Shown */

/** Hatching in pixels: dense for what is certain to touch, open for what may. */
const HATCH = { touching: { apart: 4, width: 1.3 }, may_touch: { apart: 8, width: 1 } };
/** A shared lens narrower than this cannot hold a hatch. */
const MIN_LENS_PX = 2;
/** Metres are written where the circles are at least this large. */
const WORDS_FROM_PX = 21;
/** How far from the middle of a lens its metres may stand. */
const TIPS_PX = [0, 15, -15, 28, -28];

/** Hatching as a repeated tile, by colour, kind and fineness. */
export function createHatches() {
  /** @type {Map<string, CanvasPattern | null>} */
  const made = new Map();
  /** @param {Frame} frame @param {"touching" | "may_touch"} kind @param {string} colour */
  return (frame, kind, colour) => {
    const name = kind + colour + frame.dpr;
    let pattern = made.get(name);
    if (pattern === undefined) made.set(name, (pattern = hatch(frame, kind, colour)));
    return pattern ?? colour;
  };
}

/** Of the pair that is pointed out, whose hulls are drawn after everything else. */
const focusHatches = createHatches();

/** @param {Frame} frame @param {"touching" | "may_touch"} kind @param {string} colour */
function hatch({ ctx, dpr }, kind, colour) {
  const side = HATCH[kind].apart * 1.5 * dpr;
  const tile = document.createElement("canvas");
  tile.width = tile.height = Math.round(side);
  const t = /** @type {CanvasRenderingContext2D} */ (tile.getContext("2d"));
  const s = tile.width;
  t.strokeStyle = colour;
  t.lineWidth = HATCH[kind].width * dpr;
  t.beginPath();
  for (const by of [-s, 0, s]) {
    t.moveTo(by - s / 4, s + s / 4);
    t.lineTo(by + s + s / 4, -s / 4);
  }
  t.stroke();
  const pattern = ctx.createPattern(tile, "repeat");
  pattern?.setTransform(new DOMMatrix([1 / dpr, 0, 0, 1 / dpr, 0, 0]));
  return pattern;
}

/** @param {Frame} frame @param {Position} at @param {number} nearLon */
export function pointOn(frame, at, nearLon) {
  const { x, y } = worldOf(at.lat_deg, besideLon(at.lon_deg, nearLon));
  return { x: x * frame.k - frame.ox, y: y * frame.k - frame.oy };
}

/** @param {Frame} frame @param {{x: number, y: number}} p @param {number} beyond */
function inside(frame, p, beyond) {
  return p.x > -beyond && p.y > -beyond && p.x < frame.width + beyond && p.y < frame.height + beyond;
}

/**
 * Lenses of one kind, hatched; their border drawn strong.
 * @param {Frame} frame
 * @param {[Shown, Shown][]} pairs
 * @param {"touching" | "may_touch"} kind
 * @param {ReturnType<typeof createHatches>} hatches
 */
function fillLenses(frame, pairs, kind, hatches) {
  const { ctx, theme } = frame;
  ctx.beginPath();
  for (const [a, b] of pairs) addLens(ctx, a, b);
  if (kind === "touching") {
    ctx.fillStyle = theme.contrast ? "#fff" : "rgba(213,94,0,0.16)";
    ctx.fill();
  }
  ctx.fillStyle = hatches(frame, kind, theme.lens);
  ctx.fill();
  ctx.strokeStyle = theme.lens;
  ctx.lineWidth = (kind === "touching" ? 2.2 : 1.3) * theme.width;
  ctx.stroke();
}

/**
 * Where two circles share water, and where two hulls come close that lie in unison.
 * @param {Frame} frame
 * @param {HarborData} data
 * @param {ReturnType<typeof createHatches>} hatches
 * @param {number} nearLon
 * @param {string} [without] an area whose moorings are left out
 */
export function drawLenses(frame, data, hatches, nearLon, without) {
  /** @type {Record<"touching" | "may_touch", [Shown, Shown][]>} */
  const pairs = { touching: [], may_touch: [] };
  for (const conflict of data.report.conflicts) {
    if (without && [conflict.a, conflict.b].some((number) => data.byNumber.get(number)?.area === without)) continue;
    if (byHulls(conflict)) {
      if (inside(frame, pointOn(frame, conflict.at, nearLon), 200) && hullsShow(frame, conflict))
        drawHullPair(frame, conflict, hatches, nearLon);
      continue;
    }
    if (conflict.overlap_m <= 0 || conflict.state === "tight") continue;
    const a = data.byNumber.get(conflict.a);
    const b = data.byNumber.get(conflict.b);
    if (!a || !b || a.radius_m === null || b.radius_m === null) continue;
    if (conflict.overlap_m * a.perMetreY * frame.k < MIN_LENS_PX || !inside(frame, pointOn(frame, conflict.at, nearLon), 200)) continue;
    pairs[conflict.state === "touching" ? "touching" : "may_touch"].push([onScreen(frame, a), onScreen(frame, b)]);
  }
  for (const kind of /** @type {const} */ (["may_touch", "touching"])) fillLenses(frame, pairs[kind], kind, hatches);
}

/** What stands in a shared lens or in a gap. @param {Conflict} conflict @param {Units} units */
export function overlapWords(conflict, units) {
  return conflict.overlap_m > 0 ? length(conflict.overlap_m, units) : "gap " + length(-conflict.overlap_m, units);
}

/**
 * The metres of each shared lens: in it, or where that is taken, at one of its tips; of two hulls beside them. The hulls of the pair that
 * is pointed out are
 * drawn with their metres, on top of all and at any scale.
 * @param {Frame} frame @param {HarborData} data @param {Units} units @param {Room} room @param {number} nearLon
 * @param {Focus | null} only the pair that is pointed out, at any scale @param {Focus} [except] it is written already
 */
export function drawOverlapWords(frame, data, units, room, nearLon, only, except) {
  const { ctx, theme } = frame;
  ctx.font = "700 11.5px " + theme.font;
  for (const conflict of data.report.conflicts) {
    if (only ? !isPair(conflict, only) : conflict.state === "tight" || (except && isPair(conflict, except))) continue;
    const a = data.byNumber.get(conflict.a);
    const b = data.byNumber.get(conflict.b);
    const at = pointOn(frame, conflict.at, nearLon);
    if (only && byHulls(conflict)) drawHullPair(frame, conflict, focusHatches, nearLon, data);
    if (!a || !b || !inside(frame, at, 0)) continue;
    if (!only && (byHulls(conflict) ? !hullsShow(frame, conflict) : (a.radius_m ?? 0) * a.perMetreY * frame.k < WORDS_FROM_PX)) continue;
    const text = overlapWords(conflict, units);
    const width = ctx.measureText(text).width + 4;
    const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
    const acrossX = (a.y - b.y) / length;
    const acrossY = (b.x - a.x) / length;
    const places = byHulls(conflict) ? besideHulls(frame, conflict, width) : TIPS_PX.map((px) => ({ x: acrossX * px, y: acrossY * px }));
    const away = places.find(({ x, y }) => room.take(at.x + x, at.y + y, width, 14));
    if (away) write(ctx, text, at.x + away.x, at.y + away.y, wordColour(theme.contrast), theme.halo);
  }
}

/** @param {Conflict} conflict @param {Focus} focus */
function isPair({ a, b }, focus) {
  return (a === focus.mooring && b === focus.with) || (b === focus.mooring && a === focus.with);
}

/** Vermilion is too light for words; this is its darker shade, 5.6 to 1 on white. @param {boolean} contrast */
function wordColour(contrast) {
  return contrast ? "#000" : "#a34700";
}

/** @param {Frame} frame @param {Hazard[]} hazards @param {number} nearLon small crosses at the very spots */
export function drawHazards(frame, hazards, nearLon) {
  const { ctx, theme } = frame;
  const arm = frame.zoom >= 16.5 ? 5.5 : frame.zoom >= 15 ? 4 : 2.8;
  ctx.lineCap = "round";
  for (const [width, colour] of /** @type {[number, string][]} */ ([
    [arm > 4 ? 5.5 : 4, theme.halo],
    [arm > 4 ? 2.4 : 1.6, theme.hazard],
  ])) {
    ctx.beginPath();
    for (const each of hazards) {
      const { x, y } = pointOn(frame, each.at, nearLon);
      if (!inside(frame, { x, y }, arm)) continue;
      ctx.moveTo(x - arm, y - arm);
      ctx.lineTo(x + arm, y + arm);
      ctx.moveTo(x - arm, y + arm);
      ctx.lineTo(x + arm, y - arm);
    }
    ctx.strokeStyle = colour;
    ctx.lineWidth = width;
    ctx.stroke();
  }
  ctx.lineCap = "butt";
}

/** @param {Frame} frame @param {HarborData} data @param {Units} units @param {Room} room @param {number} nearLon */
export function drawHazardWords(frame, data, units, room, nearLon) {
  const { ctx, theme } = frame;
  ctx.font = "600 11px " + theme.font;
  for (const each of data.report.hazards) {
    const buoy = data.byNumber.get(each.mooring);
    const at = pointOn(frame, each.at, nearLon);
    if (!buoy || (buoy.radius_m ?? 0) * buoy.perMetreY * frame.k < WORDS_FROM_PX + 5 || !inside(frame, at, 0)) continue;
    const text = length(each.by_m, units);
    const width = ctx.measureText(text).width;
    for (const side of [1, -1]) {
      const x = at.x + side * (width / 2 + 10);
      if (!room.take(x, at.y, width + 4, 14)) continue;
      write(ctx, text, x, at.y, theme.hazard, theme.halo);
      break;
    }
  }
}

/**
 * What is selected: a ring that nothing else has, and the line between two moorings in conflict.
 * @param {Frame} frame @param {HarborData} data @param {Focus} focus @param {number} nearLon
 */
export function drawFocus(frame, data, focus, nearLon) {
  const { ctx, theme } = frame;
  const one = data.byNumber.get(focus.mooring);
  const other = data.byNumber.get(focus.with);
  for (const each of [other, one]) {
    if (!each) continue;
    const c = onScreen(frame, each);
    for (const [width, colour] of /** @type {[number, string][]} */ ([
      [7, theme.halo],
      [each === one ? 3 : 2, theme.selected],
    ])) {
      ctx.beginPath();
      trace(ctx, c, -2);
      ctx.lineWidth = width;
      ctx.strokeStyle = colour;
      ctx.stroke();
    }
  }
  // Where the hulls decide, they are drawn in place of a line.
  if (one && other && !data.report.conflicts.some((each) => byHulls(each) && isPair(each, focus))) {
    const from = onScreen(frame, one);
    const to = onScreen(frame, other);
    ctx.beginPath();
    ctx.moveTo(from.x, from.y);
    ctx.lineTo(to.x, to.y);
    ctx.lineWidth = 1.2;
    ctx.strokeStyle = theme.selected;
    ctx.stroke();
  }
  const hazard = data.report.hazards.find((each) => each.mooring === focus.mooring && each.kind === focus.hazard);
  if (hazard) {
    const { x, y } = pointOn(frame, hazard.at, nearLon);
    ctx.beginPath();
    ctx.arc(x, y, 12, 0, 2 * Math.PI);
    ctx.lineWidth = 2.5;
    ctx.strokeStyle = theme.selected;
    ctx.stroke();
  }
}

/**
 * A boat that is only tried: a long-dashed ring of ink, its hull, and what it comes against.
 * @param {Frame} frame
 * @param {Tried} tried
 * @param {HarborData} data
 * @param {ReturnType<typeof createHatches>} hatches
 * @param {number} nearLon
 */
export function drawTried(frame, tried, data, hatches, nearLon) {
  const { ctx, theme } = frame;
  const metre = perMetre(tried.lat_deg);
  const at = pointOn(frame, tried, nearLon);
  const radius_m = tried.radius_m;
  const circle = /** @type {Shown} */ ({ ...at, rx: (radius_m ?? 0) * metre.x * frame.k, ry: (radius_m ?? 0) * metre.y * frame.k });
  if (radius_m) {
    for (const conflict of tried.conflicts) {
      const other = otherOf(data, conflict, tried.number);
      if (byHulls(conflict)) drawHullPair(frame, conflict, hatches, nearLon);
      else if (other && conflict.overlap_m > 0 && other.radius_m !== null) {
        fillLenses(frame, [[circle, onScreen(frame, other)]], conflict.state === "touching" ? "touching" : "may_touch", hatches);
      }
    }
    for (const [width, colour, dash] of /** @type {[number, string, number[]][]} */ ([
      [6, theme.halo, []],
      [2.4, theme.tried, [12, 5]],
    ])) {
      ctx.beginPath();
      trace(ctx, circle);
      ctx.setLineDash(dash);
      ctx.lineWidth = width;
      ctx.strokeStyle = colour;
      ctx.stroke();
    }
    ctx.setLineDash([]);
    if (tried.loa_m) drawHull(frame, circle, tried.loa_m, null, radius_m);
  }
  drawHazards(frame, tried.hazards, nearLon);
  drawPin(frame, at);
}

/** @param {Frame} frame @param {{x: number, y: number}} at a small target where a position was typed or picked */
export function drawPin({ ctx, theme }, { x, y }) {
  for (const [width, colour] of /** @type {[number, string][]} */ ([
    [5, theme.halo],
    [2, theme.tried],
  ])) {
    ctx.beginPath();
    ctx.arc(x, y, 6, 0, 2 * Math.PI);
    for (const [dx, dy] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ]) {
      ctx.moveTo(x + 3 * dx, y + 3 * dy);
      ctx.lineTo(x + 12 * dx, y + 12 * dy);
    }
    ctx.lineWidth = width;
    ctx.strokeStyle = colour;
    ctx.stroke();
  }
}
