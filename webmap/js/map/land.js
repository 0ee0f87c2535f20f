// Land: shore, areas, fairways and closed water.
/** @import { HarborData, Frame, Room } from "../core/types" */
import { worldPixels } from "../core/scale.js";
import { inPathUnits, PATH_ZOOM } from "./canvas.js";
import { write } from "./labels.js";
import { centroid, isArea, pathMaker } from "./paths.js";

/** Ticks of closed water point inwards, in pixels: this long, this far apart (INT 1, N 2.1). */
const TICK = { length: 5, apart: 16 };

/** @param {HarborData} data @param {{x: number, y: number}} origin @param {number} nearLon */
export function landChart(data, origin, nearLon) {
  const make = pathMaker(origin, nearLon);
  const shapes = data.shoreline.map((each) => each.geometry);
  const land = make.path(shapes.filter(isArea));
  const shore = make.path(shapes.filter((each) => !isArea(each)));
  const areas = data.areas.map((each) => named(each.properties.name, each.geometry));
  const areaEdges = make.path(data.areas.map((each) => each.geometry));
  const fairways = data.fairways.filter((each) => each.properties.kind !== "closed_water");
  const closed = data.fairways.filter((each) => each.properties.kind === "closed_water");
  const fairwayEdges = make.path(fairways.map((each) => each.geometry));
  const closedEdges = make.path(closed.map((each) => each.geometry));
  const closedRings = closed.flatMap((each) => make.rings(each.geometry));
  const keepOuts = data.fairways.map((each) => named(each.properties.name, each.geometry));

  /** @param {string} name @param {import("geojson").Geometry} shape */
  function named(name, shape) {
    const rings = make.rings(shape);
    const middles = rings.map(centroid).sort((a, b) => b.area - a.area);
    const corners = rings.flat();
    const xs = corners.map((each) => each.x);
    const ys = corners.map((each) => each.y);
    return { name, middle: middles[0], top: Math.min(...ys), bottom: Math.max(...ys), left: Math.min(...xs), right: Math.max(...xs) };
  }

  /** @param {Frame} frame @param {boolean} sheer */
  function drawLand(frame, sheer) {
    const { ctx, theme } = frame;
    inPathUnits(frame, origin, (scale) => {
      ctx.globalAlpha = sheer ? 0.35 : 1;
      ctx.fillStyle = theme.land;
      ctx.fill(land, "evenodd");
      ctx.globalAlpha = 1;
      ctx.strokeStyle = theme.landEdge;
      ctx.lineWidth = 1.1 / scale;
      ctx.stroke(land);
      ctx.stroke(shore);
    });
  }

  /** @param {Frame} frame */
  function drawEdges(frame) {
    const { ctx, theme } = frame;
    inPathUnits(frame, origin, (scale) => {
      const px = 1 / scale;
      ctx.strokeStyle = theme.areaEdge;
      ctx.lineWidth = 0.8 * px;
      ctx.setLineDash([9 * px, 5 * px]);
      ctx.stroke(areaEdges);
      ctx.strokeStyle = theme.fairway;
      ctx.lineWidth = 1.1 * px;
      ctx.setLineDash([14 * px, 5 * px]);
      ctx.stroke(fairwayEdges);
      ctx.setLineDash([]);
      ctx.strokeStyle = theme.closed;
      ctx.stroke(closedEdges);
      ctx.beginPath();
      for (const ring of closedRings) ticks(ctx, ring, px);
      ctx.stroke();
    });
  }

  /** @param {Frame} frame @param {Room} room */
  function drawNames(frame, room) {
    const { ctx, theme } = frame;
    ctx.font = "italic 15px " + theme.serif;
    for (const each of areas) writeName(frame, room, each, theme.areaName);
    ctx.font = "italic 12.5px " + theme.serif;
    for (const each of keepOuts) writeName(frame, room, each, theme.fairway);
  }

  /** @param {Frame} frame @param {Room} room @param {ReturnType<typeof named>} each @param {string} colour */
  function writeName(frame, room, each, colour) {
    if (!each.middle) return;
    const scale = frame.k / worldPixels(PATH_ZOOM);
    const toX = (/** @type {number} */ x) => origin.x * frame.k - frame.ox + x * scale;
    const toY = (/** @type {number} */ y) => origin.y * frame.k - frame.oy + y * scale;
    const width = frame.ctx.measureText(each.name).width;
    if (width > 2.5 * scale * (each.right - each.left)) return;
    const x = toX(each.middle.x);
    // The middle if it is free, else above or below the moorings; else none: the list names the area too.
    for (const y of [toY(each.middle.y), toY(each.top) - 10, toY(each.bottom) + 11, toY(each.top) + 12]) {
      if (room.take(x, y, width + 12, 22)) return write(frame.ctx, each.name, x, y, colour, frame.theme.halo);
    }
  }

  return { drawLand, drawEdges, drawNames };
}

/**
 * @param {CanvasRenderingContext2D} ctx @param {{x: number, y: number}[]} ring closed @param {number} px one pixel in its units
 */
function ticks(ctx, ring, px) {
  let turn = 0;
  for (let i = 0; i + 1 < ring.length; i++) turn += ring[i].x * ring[i + 1].y - ring[i + 1].x * ring[i].y;
  const inward = turn > 0 ? 1 : -1;
  for (let i = 0; i + 1 < ring.length; i++) {
    const dx = ring[i + 1].x - ring[i].x;
    const dy = ring[i + 1].y - ring[i].y;
    const length = Math.hypot(dx, dy);
    for (let s = (TICK.apart * px) / 2; s < length; s += TICK.apart * px) {
      const x = ring[i].x + (dx * s) / length;
      const y = ring[i].y + (dy * s) / length;
      ctx.moveTo(x, y);
      ctx.lineTo(x - (inward * dy * TICK.length * px) / length, y + (inward * dx * TICK.length * px) / length);
    }
  }
}
