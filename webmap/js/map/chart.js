// Chart: the layers of the map, from the ground up, and the order in which they are written over each other.
/** @import { Frame, Page } from "../core/types" */
import { middleLon } from "../core/data.js";
import { reducedMotion } from "../core/dom.js";
import { worldOf } from "../core/scale.js";
import { canvasLayer } from "./canvas.js";
import { byUrgency, drawFills, drawHulls, drawNumbers, drawQuietRings, drawRings, inFrame } from "./circles.js";
import { depthChart, levelMetres } from "./depth.js";
import { createMeasure, createRoom } from "./labels.js";
import { landChart } from "./land.js";
import {
  createHatches,
  drawFocus,
  drawHazards,
  drawHazardWords,
  drawLenses,
  drawOverlapWords,
  drawPin,
  drawTried,
  pointOn,
} from "./marks.js";
import { setbackChart } from "./setback.js";
import { themeOf } from "./theme.js";

/** Boats are drawn from this zoom on. */
const HULLS_FROM_ZOOM = 17.5;
/** Below this zoom the names of areas come before the numbers of moorings. */
const NUMBERS_FIRST_FROM_ZOOM = 16;
/** Among hulls that lie to the weather, numbers stand from this zoom on: the lines begin at the same place. */
const NUMBERS_AMONG_HULLS_FROM_ZOOM = 17;

/** @typedef {ReturnType<typeof createChart>} Chart */

/** What the map draws follows the view and the scene. @param {L.Map} map @param {Pick<Page, "store" | "scene" | "data" | "units">} page */
export function createChart(map, { store, scene, data, units }) {
  /** What is drawn, and how. */
  function look() {
    const { mooring, with: other, hazard, level, contrast } = store.get();
    const { greeting, ...shown } = scene.get();
    const focus = mooring || !greeting ? { mooring, with: other, hazard } : { mooring: greeting.a, with: greeting.b, hazard: "" };
    return { ...shown, level_m: levelMetres(level, data.info.levels), units: units(), theme: themeOf(contrast), focus };
  }

  const nearLon = middleLon(data.info);
  const [west, south, east, north] = data.info.bounds ?? [0, 0, 0, 0];
  const origin = worldOf((south + north) / 2, data.info.bounds ? nearLon : (west + east) / 2);
  const sheer = Boolean(data.info.background);
  const hatches = createHatches();
  const measure = createMeasure();
  let depth = depthChart(data, origin, nearLon);
  let land = landChart(data, origin, nearLon);
  let drawSetbacks = setbackChart(data, origin, nearLon);
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
  let stale = false;
  let instead = "";

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
    const { places, change } = scene.get();
    return places?.instead || (change && change.mode !== "is" ? change.area : "");
  }

  /** Whether somebody is to see it: of an area that is shown otherwise nothing is told as it is today. @param {{mooring: string}} hazard */
  function inView({ mooring }) {
    const instead = another();
    return !instead || data.byNumber.get(mooring)?.area !== instead;
  }

  /** @param {Frame} frame */
  function drawField(frame) {
    freshen();
    const { focus, tried, pin, laid, change } = look();
    const all = inFrame(frame, urgent);
    const instead = another();
    const shown = instead ? all.filter(({ buoy }) => buoy.area !== instead) : all;
    if (instead && change?.mode !== "would")
      drawQuietRings(
        frame,
        all.filter(({ buoy }) => buoy.area === instead),
        new Set(),
        change ? 1 : undefined,
      );
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
    const { laid } = scene.get();
    if (laid) drawLaid?.(frame, laid, units(), frame.zoom >= NUMBERS_AMONG_HULLS_FROM_ZOOM, hatches);
  }

  /** @param {Frame} frame @param {ReturnType<typeof inFrame>} shown */
  function drawWords(frame, shown) {
    const { focus, units, level_m, laid } = look();
    const room = createRoom();
    const first = shown.filter(({ buoy }) => buoy.number === focus.mooring || buoy.number === focus.with);
    if (focus.with && !laid) drawOverlapWords(frame, data, units, room, nearLon, focus);
    drawNumbers(frame, first, room, measure);
    const others =
      laid && frame.zoom < NUMBERS_AMONG_HULLS_FROM_ZOOM ? [] : first.length ? shown.filter((each) => !first.includes(each)) : shown;
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
    const { places } = scene.get();
    if (places) open?.drawWater(frame, places);
  }

  /** @param {Frame} frame */
  function drawPlaces(frame) {
    const { places, trial } = scene.get();
    if (places) open?.drawSpots(frame, places);
    if (trial) open?.drawTrial(frame, trial, units());
  }

  /** @param {Frame} frame */
  function drawChange(frame) {
    const { change } = scene.get();
    if (change) drawChanged?.(frame, change, data, nearLon);
  }

  /** @param {Frame} frame */
  function drawMarked(frame) {
    const { marked } = scene.get();
    if (marked) drawNews?.(frame, marked, data, performance.now(), reducedMotion());
  }

  /** @param {string} pane @param {(frame: Frame) => void} draw */
  const layer = (pane, draw) => canvasLayer(map, pane, draw, () => themeOf(store.get().contrast));
  const ground = layer("ground", drawGround);
  const field = layer("field", drawField);
  const lying = layer("lying", drawLying);
  const water = layer("openwater", drawWater);
  const places = layer("places", drawPlaces);
  const change = layer("change", drawChange);
  const news = layer("news", drawMarked);

  /** A layer that is there while there is something to be drawn on it. @param {typeof field} of @param {unknown} shown */
  function follow(of, shown) {
    if (shown) {
      of.begin();
      of.later();
    } else of.end();
  }

  /** Whether the layer of the places is there. */
  let placed = false;
  /** Open water, places or a trial circle are shown, others than before, or none any more. */
  function followPlaces() {
    const { places: shown, trial } = scene.get();
    placed = Boolean(shown || trial);
    follow(water, shown);
    follow(places, placed);
    if ((shown?.instead ?? "") !== instead) {
      instead = shown?.instead ?? "";
      field.later();
    }
  }

  store.subscribe(["units", "level", "contrast"], () => {
    for (const each of [ground, field, lying, water, places, change, news]) each.later();
  });
  store.subscribe(["mooring", "with", "hazard"], field.later);
  scene.subscribe(["greeting", "tried", "pin"], field.later);
  scene.subscribe(["pieces"], () => {
    stale = true;
    ground.later();
    field.later();
  });
  scene.subscribe(["laid"], ({ laid }) => {
    follow(lying, laid);
    field.later();
  });
  scene.subscribe(["change"], (now) => {
    follow(change, now.change);
    field.later();
  });
  scene.subscribe(["marked"], ({ marked }) => follow(news, marked));
  scene.subscribe(["places"], followPlaces);
  // While the circle is moved it is drawn where it has got to, at once.
  scene.subscribe(["trial"], ({ trial }) => {
    if (placed && trial) places.repaint();
    else followPlaces();
  });

  return {
    /** Enough of the harbor has come to be drawn. */
    begin() {
      ground.begin();
      field.begin();
    },
    /** The marks of what was changed have moved on. */
    pulse: news.repaint,
    /** @param {typeof import("./newschart.js").drawNews} draw */
    drawNews(draw) {
      drawNews = draw;
    },
    /** @param {typeof import("./whatifchart.js").drawChanged} draw */
    drawChange(draw) {
      drawChanged = draw;
    },
    /** Which numbered place lies there; -1: none. @type {ReturnType<typeof import("./openwater.js").waterChart>["markAt"]} */
    markAt: (spots, at, zoom) => open?.markAt(spots, at, zoom) ?? -1,
    /** @param {typeof import("./openwater.js").waterChart} make */
    drawOpen(make) {
      open = make(origin, nearLon);
    },
    /** @param {typeof import("./weatherchart.js").drawLaid} draw */
    drawLying(draw) {
      drawLaid = draw;
    },
    /** Draws the hulls where they have got to, and nothing else. */
    swing: lying.repaint,
    /** For paper, at once. @param {number} fineness */
    now(fineness) {
      for (const layer of [ground, water, field, lying, change, places]) {
        layer.setFineness(fineness);
        layer.redraw();
      }
    },
  };
}
