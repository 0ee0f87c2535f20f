// Setback: the water that is kept free beside shore, fairways and closed water, as a faint band along their outer side.
/** @import { HarborData, Frame } from "../core/types" */
/** @import { Geometry } from "geojson" */
import { perMetre, worldPixels } from "../core/scale.js";
import { inPathUnits, PATH_ZOOM } from "./canvas.js";
import { isArea, pathMaker } from "./paths.js";

/** How strong a band is. */
const STRENGTH = { chart: 0.17, contrast: 0.22 };

/** Larger than any harbor, in path units. */
const BEYOND = 1e7;

/**
 * @typedef {{edge: Path2D, outside: Path2D, width: number}} Band `outside`: all but the shapes themselves; `width` in path units, to both
 *   sides
 */

/** @param {HarborData} data @param {{x: number, y: number}} origin in world units @param {number} nearLon */
export function setbackChart(data, origin, nearLon) {
  const make = pathMaker(origin, nearLon);
  const shore = bandOf(
    data.shoreline.map((each) => each.geometry),
    data.info.shore_setback_m ?? 0,
  );
  /** @type {Map<number, Geometry[]>} */
  const alike = new Map();
  for (const { geometry, properties } of data.fairways) {
    const setback_m = properties.setback_m ?? 0;
    alike.set(setback_m, [...(alike.get(setback_m) ?? []), geometry]);
  }
  const keepOuts = [...alike].map(([setback_m, shapes]) => bandOf(shapes, setback_m));

  /** @param {Geometry[]} shapes @param {number} setback_m @returns {Band | null} */
  function bandOf(shapes, setback_m) {
    if (!(setback_m > 0) || !shapes.length) return null;
    const outside = new Path2D();
    outside.rect(-BEYOND, -BEYOND, 2 * BEYOND, 2 * BEYOND);
    outside.addPath(make.path(shapes.filter(isArea)));
    const south = data.info.bounds?.[1] ?? 0;
    const north = data.info.bounds?.[3] ?? 0;
    return { edge: make.path(shapes), outside, width: 2 * setback_m * perMetre((south + north) / 2).y * worldPixels(PATH_ZOOM) };
  }

  /** @param {Frame} frame @param {Band | null} band @param {string} colour */
  function draw(frame, band, colour) {
    if (!band) return;
    const { ctx, theme } = frame;
    inPathUnits(frame, origin, () => {
      ctx.clip(band.outside, "evenodd");
      ctx.globalAlpha = theme.contrast ? STRENGTH.contrast : STRENGTH.chart;
      ctx.strokeStyle = colour;
      ctx.lineJoin = "round";
      ctx.lineWidth = band.width;
      ctx.stroke(band.edge);
    });
  }

  /** @param {Frame} frame */
  return (frame) => {
    draw(frame, shore, frame.theme.landEdge);
    for (const band of keepOuts) draw(frame, band, frame.theme.fairway);
  };
}
