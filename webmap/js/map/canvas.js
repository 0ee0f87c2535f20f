// Canvas: a Leaflet layer that is one canvas, somewhat larger than the window so that a pan shows what is drawn
// already; it is drawn anew when a pan ends or outruns it.
/** @import { Frame, Theme } from "../core/types" */
import { reducedMotion } from "../core/dom.js";
import { worldPixels } from "../core/scale.js";

/** How much is drawn beyond each edge, as a share of the window. */
const BEYOND = 0.15;
/** More pixels than this per pixel of the page are not worth the time to fill them. */
const FINEST = 2;

/**
 * @param {L.Map} map @param {string} pane
 * @param {(frame: Frame) => void} draw
 * @param {() => Theme} theme
 */
export function canvasLayer(map, pane, draw, theme) {
  const canvas = document.createElement("canvas");
  canvas.className = "leaflet-zoom-animated";
  canvas.setAttribute("aria-hidden", "true");
  const ctx = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  map.getPane(pane)?.append(canvas);
  let corner = map.containerPointToLatLng([0, 0]);
  let drawnZoom = map.getZoom();
  let finest = FINEST;
  let asked = 0;
  let held = true;
  /** @type {Frame | null} as it was drawn last */
  let last = null;

  function redraw() {
    cancelAnimationFrame(asked);
    asked = 0;
    if (held) return;
    const size = map.getSize();
    if (!size.x || !size.y) return;
    const dpr = Math.min(devicePixelRatio || 1, finest);
    const dpi = finest > FINEST ? finest : dpr;
    const width = Math.ceil(size.x * (1 + 2 * BEYOND));
    const height = Math.ceil(size.y * (1 + 2 * BEYOND));
    // On paper the browser draws everything over again, and clearing would wipe out what lies below; a new size clears too.
    if (finest > FINEST || canvas.width !== width * dpi || canvas.height !== height * dpi) {
      canvas.width = width * dpi;
      canvas.height = height * dpi;
      canvas.style.width = width + "px";
      canvas.style.height = height + "px";
    }
    const topLeft = map.containerPointToLayerPoint([-size.x * BEYOND, -size.y * BEYOND]).round();
    const origin = map.getPixelOrigin();
    corner = map.layerPointToLatLng(topLeft);
    drawnZoom = map.getZoom();
    L.DomUtil.setTransform(canvas, topLeft, 1);
    ctx.setTransform(dpi, 0, 0, dpi, 0, 0);
    if (finest <= FINEST) ctx.clearRect(0, 0, width, height);
    last = {
      ctx,
      width,
      height,
      dpr: dpi,
      zoom: drawnZoom,
      k: worldPixels(drawnZoom),
      ox: origin.x + topLeft.x,
      oy: origin.y + topLeft.y,
      theme: theme(),
    };
    draw(last);
  }

  /** Draws anew what moves by itself, at the place where the canvas lies: it may be on its way to another zoom just then. */
  function repaint() {
    // On paper nothing moves, and clearing would wipe out what lies below.
    if (!last || held || finest > FINEST) return;
    ctx.clearRect(0, 0, last.width, last.height);
    draw(last);
  }

  /** Shows what is drawn at the place and size of another view, while the map zooms. @param {L.LatLng} centre @param {number} zoom */
  function follow(centre, zoom) {
    const half = map.getSize().divideBy(2);
    const mapPane = map.getPane("mapPane");
    const panned = mapPane ? L.DomUtil.getPosition(mapPane) : L.point(0, 0);
    const origin = map.project(centre, zoom).subtract(half).add(panned).round();
    L.DomUtil.setTransform(canvas, map.project(corner, zoom).subtract(origin), map.getZoomScale(zoom, drawnZoom));
  }

  /** While a pan is under way: only where it has outrun what is drawn. */
  function outrun() {
    if (map.getZoom() !== drawnZoom) return;
    const from = map.latLngToContainerPoint(corner);
    const size = map.getSize();
    const right = from.x + size.x * (1 + 2 * BEYOND);
    const bottom = from.y + size.y * (1 + 2 * BEYOND);
    if (from.x > 0 || from.y > 0 || right < size.x || bottom < size.y) redraw();
  }

  // Every change of the view ends in moveend, a jump too.
  map.on("moveend resize", redraw);
  map.on("move", outrun);
  map.on("zoom", () => follow(map.getCenter(), map.getZoom()));
  if (!reducedMotion()) map.on("zoomanim", (event) => follow(event.center, event.zoom));

  return {
    /** Nothing is drawn before this: filling an empty canvas takes as long as a full one. */
    begin() {
      held = false;
    },
    /** Takes the layer away until it begins again. */
    end() {
      held = true;
      last = null;
      canvas.width = canvas.height = 0;
    },
    redraw,
    repaint,
    /** Draws once before the next frame, however often it is asked for. */
    later() {
      asked ||= requestAnimationFrame(redraw);
    },
    /** For paper: as many pixels per pixel of the page. @param {number} pixels 0: as on the screen */
    setFineness(pixels) {
      finest = pixels || FINEST;
    },
  };
}

/**
 * Paths in the world's units have too many digits for a canvas; they are kept in pixels of this zoom, from an origin
 * nearby.
 */
export const PATH_ZOOM = 17;

/**
 * @param {Frame} frame @param {{x: number, y: number}} origin in world units @param {(scale: number) => void} draw
 * with a scale by which line widths have to be divided
 */
export function inPathUnits(frame, origin, draw) {
  const { ctx, k, ox, oy } = frame;
  const scale = k / worldPixels(PATH_ZOOM);
  ctx.save();
  ctx.translate(origin.x * k - ox, origin.y * k - oy);
  ctx.scale(scale, scale);
  draw(scale);
  ctx.restore();
}
