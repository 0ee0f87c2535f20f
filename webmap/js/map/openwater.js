// Open water: where the anchor of a boat may stand, drawn under the moorings; the numbered places and the trial circle, drawn over them.
/** @import { Frame, NumberedPlace, OpenWater, Position, TrialShown, Units, WaterShown } from "../core/types" */
import { besideLon, perMetre, worldOf, worldPixels } from "../core/scale.js";
import { limitName, markName } from "../words/openwater.js";
import { signed } from "../words/units.js";
import { PATH_ZOOM } from "./canvas.js";
import { drawHull, trace } from "./circles.js";
import { createRoom, write } from "./labels.js";
import { drawPin, pointOn } from "./marks.js";
import { pathMaker } from "./paths.js";

/** Lines of the hatch fall to the right, those of shared water rise: the two are told apart where they meet. */
const HATCH = { apart: 11, width: 0.9 };
/** A numbered mark in pixels; a finger may miss it by this much. */
const MARK = { half: 10, reach: 18, dot: 4 };
/** So few marks are all written, even where they lie over each other. */
const ALWAYS_WRITTEN = 5;
/** Boats are drawn on the circles from this size on. */
const HULL_FROM_PX = 26;
/** How far above its middle the words of a trial circle stand at most: in a circle wider than the window they stay in sight. */
const WORDS_UP_PX = 120;

/** @param {{x: number, y: number}} origin in world units @param {number} nearLon */
export function waterChart(origin, nearLon) {
  const make = pathMaker(origin, nearLon);
  /** @type {OpenWater | null} */
  let of = null;
  let path = new Path2D();
  /** @type {Map<string, CanvasPattern | null>} */
  const hatches = new Map();

  /** @param {Frame} frame */
  function hatch({ ctx, dpr, theme }) {
    const name = theme.openHatch + dpr;
    if (!hatches.has(name)) {
      const side = Math.round(HATCH.apart * dpr);
      const tile = document.createElement("canvas");
      tile.width = tile.height = side;
      const t = /** @type {CanvasRenderingContext2D} */ (tile.getContext("2d"));
      t.strokeStyle = theme.openHatch;
      t.lineWidth = HATCH.width * theme.width * dpr;
      t.beginPath();
      for (const by of [-side, 0, side]) {
        t.moveTo(by - 1, -1);
        t.lineTo(by + side + 1, side + 1);
      }
      t.stroke();
      const pattern = ctx.createPattern(tile, "repeat");
      pattern?.setTransform(new DOMMatrix([1 / dpr, 0, 0, 1 / dpr, 0, 0]));
      hatches.set(name, pattern);
    }
    return hatches.get(name) ?? theme.openHatch;
  }

  /** @param {Frame} frame @param {WaterShown} shown */
  function drawWater(frame, { water }) {
    if (!water) return;
    if (of !== water) {
      of = water;
      path = make.path(water.features.map((each) => each.geometry));
    }
    const { ctx, theme, k, ox, oy } = frame;
    const scale = k / worldPixels(PATH_ZOOM);
    const here = new Path2D();
    // In pixels, so that hatch and edge keep their width.
    here.addPath(path, new DOMMatrix([scale, 0, 0, scale, origin.x * k - ox, origin.y * k - oy]));
    ctx.fillStyle = theme.openFill;
    ctx.fill(here, "evenodd");
    ctx.fillStyle = hatch(frame);
    ctx.fill(here, "evenodd");
    ctx.lineJoin = "round";
    for (const [width, colour] of /** @type {[number, string][]} */ ([
      [4, theme.halo],
      [1.7 * theme.width, theme.openEdge],
    ])) {
      ctx.lineWidth = width;
      ctx.strokeStyle = colour;
      ctx.stroke(here);
    }
  }

  /** @param {Frame} frame @param {Position} at @param {number} radius_m */
  function circleAt(frame, at, radius_m) {
    const metre = perMetre(at.lat_deg);
    const { x, y } = pointOn(frame, at, nearLon);
    return /** @type {import("./circles.js").Shown} */ ({ x, y, rx: radius_m * metre.x * frame.k, ry: radius_m * metre.y * frame.k });
  }

  /**
   * The circle of the boat: solid where it fits; dashed and crossed where it does not.
   * @param {Frame} frame
   * @param {Position} at
   * @param {number | null} radius_m
   * @param {boolean | null} fits null: not known yet
   * @param {boolean} strong
   * @param {WaterShown["boat"]} boat
   */
  function drawCircle(frame, at, radius_m, fits, strong, boat) {
    const { ctx, theme } = frame;
    const c = circleAt(frame, at, radius_m ?? 0);
    if (!radius_m) return c;
    const colour = fits === false ? theme.misfit : theme.openEdge;
    ctx.beginPath();
    trace(ctx, c);
    if (strong) {
      ctx.fillStyle = fits === false ? theme.misfitFill : theme.openFill;
      ctx.fill();
    }
    for (const [width, stroke, dash] of /** @type {[number, string, number[]][]} */ ([
      [strong ? 6 : 4, theme.halo, []],
      [(strong ? 2.8 : 1.6) * theme.width, colour, fits === false ? [9, 6] : []],
    ])) {
      ctx.setLineDash(dash);
      ctx.lineWidth = width;
      ctx.strokeStyle = stroke;
      ctx.stroke();
    }
    ctx.setLineDash([]);
    if (fits === false) {
      const across = Math.SQRT1_2;
      ctx.beginPath();
      for (const side of [-1, 1]) {
        ctx.moveTo(c.x - c.rx * across, c.y - side * c.ry * across);
        ctx.lineTo(c.x + c.rx * across, c.y + side * c.ry * across);
      }
      ctx.lineWidth = (strong ? 1.6 : 1) * theme.width;
      ctx.stroke();
    }
    if (boat.length_m && c.ry >= HULL_FROM_PX) drawHull(frame, c, boat.length_m, boat.beam_m, radius_m);
    return c;
  }

  /** @param {Frame} frame @param {WaterShown} shown */
  function drawSpots(frame, { spots, fits, chosen, boat, moved }) {
    // From the last to the first, and then the chosen one: what matters most lies on top.
    const order = spots
      .map((_, i) => i)
      .reverse()
      .sort((a, b) => Number(a === chosen) - Number(b === chosen));
    for (const each of moved) drawMove(frame, each);
    for (const i of order) drawCircle(frame, spots[i].position, spots[i].radius_m, fits, i === chosen, boat);
    // Where the marks would lie over each other some are only dots; which of them is written is settled from the first on.
    const room = createRoom();
    const written = new Set(
      [...order].reverse().filter((i) => {
        const { x, y } = pointOn(frame, spots[i].position, nearLon);
        return room.take(x, y, 2 * MARK.half, 2 * MARK.half) || spots.length <= ALWAYS_WRITTEN;
      }),
    );
    for (const i of order)
      drawMark(frame, pointOn(frame, spots[i].position, nearLon), written.has(i) ? markName(i) : "", fits, i === chosen);
  }

  /**
   * @param {Frame} frame
   * @param {{x: number, y: number}} at
   * @param {string} name empty: a dot
   * @param {boolean} fits
   * @param {boolean} strong
   */
  function drawMark({ ctx, theme }, { x, y }, name, fits, strong) {
    const half = name ? MARK.half + (strong ? 2 : 0) : MARK.dot;
    const wide = half + Math.max(0, name.length - 2) * 3;
    ctx.beginPath();
    ctx.roundRect(x - wide, y - half, 2 * wide, 2 * half, fits ? half : 3);
    ctx.fillStyle = fits ? theme.openEdge : theme.misfit;
    ctx.fill();
    ctx.lineWidth = name ? 2 : 1.2;
    ctx.strokeStyle = "#fff";
    ctx.stroke();
    if (!name) return;
    ctx.font = `700 ${strong ? 14 : 12.5}px ${theme.font}`;
    ctx.textAlign = "center";
    ctx.textBaseline = "middle";
    ctx.fillStyle = "#fff";
    ctx.fillText(name, x, y + 0.5);
  }

  /**
   * A mooring that is moved: its circle there, and a dashed line from where it is.
   * @param {Frame} frame
   * @param {WaterShown["moved"][number]} move
   */
  function drawMove(frame, { from, to, radius_m }) {
    const { ctx, theme } = frame;
    const a = pointOn(frame, from, nearLon);
    const c = circleAt(frame, to, radius_m ?? 0);
    for (const [width, colour] of /** @type {[number, string][]} */ ([
      [5, theme.halo],
      [1.8 * theme.width, theme.tried],
    ])) {
      ctx.beginPath();
      ctx.moveTo(a.x, a.y);
      ctx.lineTo(c.x, c.y);
      if (radius_m) trace(ctx, c);
      ctx.setLineDash([7, 5]);
      ctx.lineWidth = width;
      ctx.strokeStyle = colour;
      ctx.stroke();
    }
    ctx.setLineDash([]);
  }

  /** @param {Frame} frame @param {TrialShown} trial @param {Units} units */
  function drawTrial(frame, trial, units) {
    const { ctx, theme } = frame;
    const fits = trial.clearance_m === null ? null : trial.clearance_m >= 0;
    const c = drawCircle(frame, trial.at, trial.radius_m, fits, true, trial.boat);
    drawPin(frame, c);
    if (trial.clearance_m === null) return;
    const words = signed(trial.clearance_m, units);
    const name = trial.limit ? (fits ? "" : "to ") + limitName(trial.limit) : "";
    const y = c.y - Math.min(c.ry + 16, WORDS_UP_PX);
    ctx.font = "700 17px " + theme.font;
    write(ctx, words, c.x, y - (name ? 17 : 0), fits ? theme.openEdge : theme.misfitWords, theme.halo);
    ctx.font = "600 13px " + theme.font;
    write(ctx, name, c.x, y, theme.ink, theme.halo);
  }

  return {
    drawWater,
    drawSpots,
    drawTrial,
    /**
     * Which numbered mark lies at a place of the map; -1: none.
     * @param {NumberedPlace[]} spots
     * @param {Position} at
     * @param {number} zoom
     */
    markAt(spots, at, zoom) {
      const k = worldPixels(zoom);
      const here = worldOf(at.lat_deg, besideLon(at.lon_deg, nearLon));
      const away = spots.map(({ position: p }) => {
        const there = worldOf(p.lat_deg, besideLon(p.lon_deg, nearLon));
        return Math.hypot((there.x - here.x) * k, (there.y - here.y) * k);
      });
      const nearest = away.indexOf(Math.min(...away));
      return nearest >= 0 && away[nearest] <= MARK.reach ? nearest : -1;
    },
  };
}
