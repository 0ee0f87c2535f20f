// Chart: the layers of the map, from the ground up, and the order in which they are written over each other.
/** @import { Changed, HarborData, Frame, Focus, Laid, TrialShown, Tried, Units, Theme, Position, WaterShown } from "../core/types" */
import { middleLon } from "../core/data.js";
import { reducedMotion } from "../core/dom.js";
import { worldOf } from "../core/scale.js";
import { canvasLayer } from "./canvas.js";
import { byUrgency, drawFills, drawHulls, drawNumbers, drawQuietRings, drawRings, inFrame } from "./circles.js";
import { depthChart } from "./depth.js";
import { createMeasure, createRoom } from "./labels.js";
import { landChart } from "./land.js";
import {
  createHatches, drawFocus, drawHazards, drawHazardWords, drawLenses, drawOverlapWords, drawPin, drawTried, pointOn,
} from "./marks.js";
import { setbackChart } from "./setback.js";

/** Boats are drawn from this zoom on. */
const HULLS_FROM_ZOOM = 17.5;
/** Below this zoom the names of areas come before the numbers of moorings. */
const NUMBERS_FIRST_FROM_ZOOM = 16;
/** Among hulls that lie to the weather, numbers stand from this zoom on: the lines begin at the same place. */
const NUMBERS_AMONG_HULLS_FROM_ZOOM = 17;

/** @typedef {{level_m: number, units: Units, theme: Theme, focus: Focus, tried: Tried | null, pin: Position | null, laid: Laid | null, water: WaterShown | null, trial: TrialShown | null, changed: Changed | null, news: {fresh: Map<string, number>} | null}} Look */

/** @param {L.Map} map @param {HarborData} data @param {() => Look} look */
export function createChart(map, data, look) {
  const nearLon = middleLon(data.info);
  const [west, south, east, north] = data.info.bounds ?? [0, 0, 0, 0];
  const origin = worldOf((south + north) / 2, data.info.bounds ? nearLon : (west + east) / 2);
  const sheer = Boolean(data.info.background);
  const hatches = createHatches(), measure = createMeasure();
  let depth = depthChart(data, origin, nearLon), land = landChart(data, origin, nearLon), drawSetbacks = setbackChart(data, origin, nearLon);
  // What draws these comes with the questions that they belong to.
  /** @type {ReturnType<typeof import("./openwater.js").waterChart> | null} */
  let open = null;
  /** @type {typeof import("./weatherchart.js").drawLaid | null} */
  let drawLaid = null;
  /** @type {typeof import("./whatifchart.js").drawChanged | null} */
  let drawChanged = null;
  /** @type {typeof import("./newschart.js").drawNews | null} */
  let drawNews = null;
  let urgent = byUrgency(data.buoys);
  let stale = false, instead = "";

  /** Several pieces may have come since the last frame; the shapes are made once for all of them. */
  function freshen() {
    if (!stale) return;
    stale = false;
    depth = depthChart(data, origin, nearLon);
    land = landChart(data, origin, nearLon);
    drawSetbacks = setbackChart(data, origin, nearLon);
    urgent = byUrgency(data.buoys);
  }

  /** @param {Frame} frame */
  function drawGround(frame) {
    freshen();
    depth.drawWater(frame, look().level_m, sheer);
    drawSetbacks(frame);
    land.drawLand(frame, sheer);
    land.drawEdges(frame);
  }

  /** The area that is shown otherwise than it is today, laid out anew or with a change; empty: none. */
  function another() {
    const { water, changed } = look();
    return water?.instead || (changed && changed.mode !== "is" ? changed.area : "");
  }

  /** Whether somebody is to see it: of an area that is shown otherwise nothing is told as it is today. @param {{mooring: string}} hazard */
  function inView({ mooring }) {
    const instead = another();
    return !instead || data.byNumber.get(mooring)?.area !== instead;
  }

  /** @param {Frame} frame */
  function drawField(frame) {
    freshen();
    const { focus, tried, pin, laid, changed } = look();
    const all = inFrame(frame, urgent), instead = another(), shown = instead ? all.filter(({ buoy }) => buoy.area !== instead) : all;
    if (instead && changed?.mode !== "would") drawQuietRings(frame, all.filter(({ buoy }) => buoy.area === instead), new Set(), changed ? 1 : undefined);
    if (laid) drawQuietRings(frame, shown, laid.unlaid);
    else {
      drawFills(frame, shown);
      drawLenses(frame, data, hatches, nearLon, instead);
      drawRings(frame, shown);
      if (frame.zoom >= HULLS_FROM_ZOOM) drawHulls(frame, shown);
      drawHazards(frame, data.report.hazards.filter(inView), nearLon);
    }
    if (focus.mooring) drawFocus(frame, data, focus, nearLon);
    if (tried) drawTried(frame, tried, data, hatches, nearLon);
    else if (pin) drawPin(frame, pointOn(frame, pin, nearLon));
    drawWords(frame, shown);
  }

  /** @param {Frame} frame */
  function drawLying(frame) {
    const { laid, units } = look();
    if (laid) drawLaid?.(frame, laid, units, frame.zoom >= NUMBERS_AMONG_HULLS_FROM_ZOOM, hatches);
  }

  /** @param {Frame} frame @param {ReturnType<typeof inFrame>} shown */
  function drawWords(frame, shown) {
    const { focus, units, level_m, laid } = look();
    const room = createRoom();
    const first = shown.filter(({ buoy }) => buoy.number === focus.mooring || buoy.number === focus.with);
    if (focus.with && !laid) drawOverlapWords(frame, data, units, room, nearLon, focus);
    drawNumbers(frame, first, room, measure);
    const others = laid && frame.zoom < NUMBERS_AMONG_HULLS_FROM_ZOOM ? [] : first.length ? shown.filter((each) => !first.includes(each)) : shown;
    if (frame.zoom < NUMBERS_FIRST_FROM_ZOOM) land.drawNames(frame, room);
    drawNumbers(frame, others, room, measure, Boolean(laid));
    if (frame.zoom >= NUMBERS_FIRST_FROM_ZOOM) land.drawNames(frame, room);
    if (laid) return;
    if (!another()) {
      drawOverlapWords(frame, data, units, room, nearLon, null, focus);
      drawHazardWords(frame, data, units, room, nearLon);
    }
    depth.drawSoundings(frame, level_m, units, room);
  }

  /** @param {Frame} frame */
  function drawWater(frame) {
    const { water } = look();
    if (water) open?.drawWater(frame, water);
  }

  /** @param {Frame} frame */
  function drawPlaces(frame) {
    const { water, trial, units } = look();
    if (water) open?.drawSpots(frame, water);
    if (trial) open?.drawTrial(frame, trial, units);
  }

  const ground = canvasLayer(map, "ground", drawGround, () => look().theme);
  const field = canvasLayer(map, "field", drawField, () => look().theme);
  const lying = canvasLayer(map, "lying", drawLying, () => look().theme);
  const water = canvasLayer(map, "openwater", drawWater, () => look().theme);
  const places = canvasLayer(map, "places", drawPlaces, () => look().theme);
  const change = canvasLayer(map, "change", (frame) => { const { changed } = look(); if (changed) drawChanged?.(frame, changed, data, nearLon); }, () => look().theme);
  const news = canvasLayer(map, "news", (frame) => { const { news: shown } = look(); if (shown) drawNews?.(frame, shown, data, performance.now(), reducedMotion()); }, () => look().theme);

  return {
    /** Enough of the harbor has come to be drawn. */
    begin() { ground.begin(); field.begin(); },
    /** Something of the harbor has come. */
    renew() {
      stale = true;
      ground.later();
      field.later();
    },
    /** Draws the moorings and all words again. */
    field: field.later,
    /** Draws all again. */
    all() { ground.later(); field.later(); lying.later(); water.later(); places.later(); change.later(); news.later(); },
    /** Another field is laid, or none any more. */
    lay() {
      if (look().laid) { lying.begin(); lying.later(); } else lying.end();
      field.later();
    },
    /** Open water, places or a trial circle are shown, others than before, or none any more. */
    places() {
      const { water: shown, trial } = look();
      if (shown) { water.begin(); water.later(); } else water.end();
      if (shown || trial) { places.begin(); places.later(); } else places.end();
      if ((shown?.instead ?? "") !== instead) { instead = shown?.instead ?? ""; field.later(); }
    },
    /** Another change is tried, or none any more. */
    change() {
      if (look().changed) { change.begin(); change.later(); } else change.end();
      field.later();
    },
    /** Other moorings are marked as changed by others, or none any more. */
    news() {
      if (look().news) { news.begin(); news.later(); } else news.end();
    },
    /** The marks of what was changed have moved on. */
    pulse: news.repaint,
    /** @param {typeof import("./newschart.js").drawNews} draw */
    drawNews(draw) { drawNews = draw; },
    /** @param {typeof import("./whatifchart.js").drawChanged} draw */
    drawChange(draw) { drawChanged = draw; },
    /** Draws the trial circle where it has got to. */
    trial: places.repaint,
    /** Which numbered place lies there; -1: none. @type {ReturnType<typeof import("./openwater.js").waterChart>["markAt"]} */
    markAt: (spots, at, zoom) => open?.markAt(spots, at, zoom) ?? -1,
    /** @param {typeof import("./openwater.js").waterChart} make */
    drawOpen(make) { open = make(origin, nearLon); },
    /** @param {typeof import("./weatherchart.js").drawLaid} draw */
    drawLying(draw) { drawLaid = draw; },
    /** Draws the hulls where they have got to, and nothing else. */
    swing: lying.repaint,
    /** For paper, at once. @param {number} fineness */
    now(fineness) {
      for (const layer of [ground, water, field, lying, change, places]) { layer.setFineness(fineness); layer.redraw(); }
    },
  };
}
