// Depth: water by depth, depth lines and soundings, at the level that the map is drawn for.
/** @import { HarborData, Frame, Level, Levels, Room } from "../core/types" */
import { worldPixels } from "../core/scale.js";
import { METRES_PER_FOOT } from "../words/units.js";
import { inPathUnits, PATH_ZOOM } from "./canvas.js";
import { write } from "./labels.js";
import { pathMaker } from "./paths.js";
import { depthTint } from "./theme.js";

/** Below this zoom, soundings are a grey haze and stay away. */
const SOUNDINGS_FROM_ZOOM = 15.5;
/** The least room of a sounding, in pixels each way. */
const SOUNDING_ROOM = { width: 44, height: 30 };

/**
 * The level in metres above chart datum. Without design levels on record, low and high are chart datum itself.
 * @param {Level} level @param {Levels | null} levels
 */
export function levelMetres(level, levels) {
  if (typeof level === "number") return level;
  if (!levels) return 0;
  return level === "low" ? levels.low_m : levels.high_m;
}

/** @param {HarborData} data @param {{x: number, y: number}} origin @param {number} nearLon */
export function depthChart(data, origin, nearLon) {
  const make = pathMaker(origin, nearLon);
  const bands = data.depthAreas.map((each) => ({ shallow_m: each.properties.from_m, path: make.path([each.geometry]) }));
  const lines = make.path(data.depthLines.map((each) => each.geometry));
  // Shallow ones first: where there is no room for all, the chart shows those that matter.
  const soundings = data.soundings
    .map((each) => ({ depth_m: each.properties.depth_m, ...make.place(each.geometry.coordinates) }))
    .sort((a, b) => a.depth_m - b.depth_m);

  return {
    /** @param {Frame} frame @param {number} level_m @param {boolean} sheer when a picture lies below */
    drawWater(frame, level_m, sheer) {
      const { ctx, theme } = frame;
      inPathUnits(frame, origin, (scale) => {
        ctx.globalAlpha = sheer ? 0.45 : 1;
        for (const band of bands) {
          ctx.fillStyle = depthTint(theme, band.shallow_m === null ? null : band.shallow_m + level_m);
          ctx.fill(band.path, "evenodd");
        }
        ctx.globalAlpha = 1;
        ctx.strokeStyle = theme.depthLine;
        ctx.lineWidth = 0.7 / scale;
        ctx.stroke(lines);
      });
    },
    /**
     * @param {Frame} frame @param {number} level_m @param {"feet" | "metres"} units
     * @param {Room} room
     */
    drawSoundings(frame, level_m, units, room) {
      if (frame.zoom < SOUNDINGS_FROM_ZOOM) return;
      const { ctx, theme } = frame;
      const scale = frame.k / worldPixels(PATH_ZOOM);
      const left = origin.x * frame.k - frame.ox;
      const top = origin.y * frame.k - frame.oy;
      for (const each of soundings) {
        const x = left + each.x * scale;
        const y = top + each.y * scale;
        if (x < 0 || y < 0 || x > frame.width || y > frame.height) continue;
        if (room.take(x, y, SOUNDING_ROOM.width, SOUNDING_ROOM.height)) writeSounding(ctx, each.depth_m + level_m, units, x, y, theme);
      }
    },
  };
}

/**
 * As on a chart: metres with a small tenth below the line up to 21 m, whole feet; what dries is underlined.
 * @param {CanvasRenderingContext2D} ctx @param {number} depth_m @param {"feet" | "metres"} units
 * @param {number} x @param {number} y @param {import("../core/types").Theme} theme
 */
function writeSounding(ctx, depth_m, units, x, y, theme) {
  const { whole, tenth } = soundingText(depth_m, units);
  ctx.font = "italic 12px " + theme.serif;
  const width = ctx.measureText(whole).width;
  write(ctx, whole, x, y, theme.sounding, theme.halo);
  if (tenth) {
    ctx.font = "italic 9px " + theme.serif;
    write(ctx, tenth, x + width / 2 + 3, y + 4, theme.sounding, theme.halo);
  }
  if (depth_m < 0) ctx.fillRect(x - width / 2, y + 7, width, 1);
}

/** @param {number} depth_m @param {"feet" | "metres"} units */
export function soundingText(depth_m, units) {
  const size = Math.abs(depth_m);
  // Shallower is safer: feet and tenths are cut, not rounded, below the surface; drying heights are rounded up.
  const cut = (/** @type {number} */ v) => (depth_m < 0 ? Math.ceil(v - 1e-9) : Math.floor(v + 1e-9));
  if (units === "feet") return { whole: String(cut(size / METRES_PER_FOOT)), tenth: "" };
  const tenths = cut(size * 10);
  if (tenths > 210) return { whole: String(Math.floor(tenths / 10)), tenth: "" };
  return { whole: String(Math.floor(tenths / 10)), tenth: tenths % 10 ? String(tenths % 10) : "" };
}
