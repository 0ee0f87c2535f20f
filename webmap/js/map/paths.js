// Paths: GeoJSON shapes as canvas paths, made once and drawn at any zoom.
/** @import { Geometry, Position } from "geojson" */
import { besideLon, worldOf, worldPixels } from "../core/scale.js";
import { PATH_ZOOM } from "./canvas.js";

const PIXELS = worldPixels(PATH_ZOOM);

/** @typedef {{x: number, y: number}} Point in world units, or in path units from an origin */

/** @param {Point} origin in world units @param {number} nearLon */
export function pathMaker(origin, nearLon) {
  /** @param {Position} lonLat @returns {Point} in path units */
  const place = ([lon, lat]) => {
    const at = worldOf(lat, besideLon(lon, nearLon));
    return { x: (at.x - origin.x) * PIXELS, y: (at.y - origin.y) * PIXELS };
  };

  /** @param {Path2D} path @param {Position[]} line @param {boolean} closed */
  function addLine(path, line, closed) {
    line.forEach((lonLat, i) => {
      const { x, y } = place(lonLat);
      if (i) path.lineTo(x, y);
      else path.moveTo(x, y);
    });
    if (closed) path.closePath();
  }

  return {
    place,
    /** @param {Geometry[]} shapes @returns {Path2D} all of them in one path; fill it even-odd */
    path(shapes) {
      const path = new Path2D();
      for (const shape of shapes) for (const line of linesOf(shape)) addLine(path, line, isArea(shape));
      return path;
    },
    /** @param {Geometry} shape @returns {Point[][]} its outer rings in path units */
    rings(shape) {
      return outerRings(shape).map((ring) => ring.map(place));
    },
  };
}

/** @param {Geometry} shape */
export function isArea(shape) {
  return shape.type === "Polygon" || shape.type === "MultiPolygon";
}

/** @param {Geometry} shape @returns {Position[][]} */
function linesOf(shape) {
  switch (shape.type) {
    case "LineString":
      return [shape.coordinates];
    case "MultiLineString":
    case "Polygon":
      return shape.coordinates;
    case "MultiPolygon":
      return shape.coordinates.flat();
    default:
      return [];
  }
}

/** @param {Geometry} shape @returns {Position[][]} */
function outerRings(shape) {
  if (shape.type === "Polygon") return shape.coordinates.slice(0, 1);
  return shape.type === "MultiPolygon" ? shape.coordinates.map((polygon) => polygon[0]) : [];
}

/**
 * The middle of a ring's own surface; of a ring without surface, its first corner.
 * @param {Point[]} ring closed @returns {Point & {area: number}}
 */
export function centroid(ring) {
  let area = 0;
  let x = 0;
  let y = 0;
  const o = ring[0];
  for (let i = 0; i + 1 < ring.length; i++) {
    const ax = ring[i].x - o.x;
    const ay = ring[i].y - o.y;
    const bx = ring[i + 1].x - o.x;
    const by = ring[i + 1].y - o.y;
    const cross = ax * by - bx * ay;
    area += cross;
    x += (ax + bx) * cross;
    y += (ay + by) * cross;
  }
  if (!area) return { ...o, area: 0 };
  return { x: o.x + x / (3 * area), y: o.y + y / (3 * area), area: Math.abs(area / 2) };
}
