// Map: the window onto the chart. Panning, zooming, clicks and keys; it knows nothing of panels and lists.
/** @import { HarborData, Hit, Position, Store } from "../core/types" */
import { middleLon } from "../core/data.js";
import { byId, reducedMotion } from "../core/dom.js";
import { besideLon } from "../core/scale.js";
import { hitAt } from "./hittest.js";

const ZOOM = { min: 3, max: 21 };
/** A mooring is shown at least this near. */
const CLOSE_ZOOM = 18;
/** Two moorings in conflict fill this share of what can be seen. */
const PAIR_SHARE = 0.42;

/** @returns {L.Map} */
export function createMap() {
  const still = reducedMotion();
  const map = L.map("map", {
    zoomControl: false,
    attributionControl: false,
    minZoom: ZOOM.min,
    maxZoom: ZOOM.max,
    zoomSnap: 0.25,
    wheelPxPerZoomLevel: 110,
    zoomAnimation: !still,
    fadeAnimation: !still,
    inertia: !still,
    markerZoomAnimation: false,
  });
  for (const [name, z] of /** @type {[string, number][]} */ ([
    ["ground", 300],
    ["field", 400],
    ["lying", 450],
    ["openwater", 350],
    ["places", 460],
    ["grasp", 470],
    ["change", 455],
    ["news", 458],
  ])) {
    const pane = map.createPane(name);
    pane.style.zIndex = String(z);
    pane.style.pointerEvents = "none";
  }
  return map;
}

/** @param {L.Map} map @param {HarborData["info"]["background"]} background as XYZ tiles by address */
export function addBackground(map, background) {
  if (!background) return;
  L.tileLayer(background.url, { maxZoom: ZOOM.max, maxNativeZoom: 19 }).addTo(map);
  // The attribution is data, so it becomes text, which Leaflet's own control would not make of it.
  byId("attribution").textContent = background.attribution;
}

/** @typedef {ReturnType<typeof mapView>} MapView */

/**
 * @param {L.Map} map @param {HarborData} data @param {Store} store
 * @param {() => {left: number, top: number, right: number, bottom: number}} covered what lies over the map, in pixels
 */
export function mapView(map, data, store, covered) {
  const nearLon = middleLon(data.info);
  /** @param {Position} at @returns {L.LatLngTuple} */
  const tuple = (at) => [at.lat_deg, besideLon(at.lon_deg, nearLon)];

  let zooming = false;
  /** @type {(() => void) | null} */
  let wish = null;
  map.on("zoomanim", () => {
    zooming = true;
  });
  map.on("moveend", () => {
    zooming = false;
    const then = wish;
    wish = null;
    then?.();
  });

  /** @param {L.LatLngTuple} at @param {number} zoom so that it lies in the middle of what is not covered @param {boolean} atOnce */
  function centre(at, zoom, atOnce) {
    // While it zooms Leaflet forgets what else it is asked for; the last wish is fulfilled afterwards.
    if (zooming && !atOnce) {
      wish = () => centre(at, zoom, atOnce);
      return;
    }
    const c = covered();
    const shift = L.point((c.right - c.left) / 2, (c.bottom - c.top) / 2);
    map.setView(map.unproject(map.project(at, zoom).add(shift), zoom), zoom, { animate: !atOnce && !reducedMotion() });
  }

  /** @param {Position} at @param {number} [zoom] @param {boolean} [atOnce] */
  function show(at, zoom = Math.max(map.getZoom() || 0, CLOSE_ZOOM), atOnce = false) {
    centre(tuple(at), zoom, atOnce);
  }

  /** Two moorings side by side. @param {string} a @param {string} b @param {boolean} [atOnce] */
  function showPair(a, b, atOnce = false) {
    const one = data.byNumber.get(a);
    const other = data.byNumber.get(b);
    if (!one || !other) return;
    const span =
      Math.max(Math.abs(one.x - other.x), Math.abs(one.y - other.y)) + ((one.radius_m ?? 0) + (other.radius_m ?? 0)) * one.perMetreY;
    const c = covered();
    const size = map.getSize();
    const room = Math.max(120, Math.min(size.x - c.left - c.right, size.y - c.top - c.bottom)) * PAIR_SHARE;
    const zoom = Math.min(ZOOM.max - 1, Math.floor(Math.log2(room / (span * 256)) * 4) / 4);
    centre([(one.lat_deg + other.lat_deg) / 2, (one.lon_deg + other.lon_deg) / 2], zoom, atOnce);
  }

  /** All of some places, as near as they can be seen together. @param {Position[]} places */
  function showPlaces(places) {
    const box = L.latLngBounds(places.map(tuple));
    const c = covered();
    if (box.isValid())
      map.fitBounds(box, {
        paddingTopLeft: [c.left + 48, c.top + 48],
        paddingBottomRight: [c.right + 48, c.bottom + 48],
        animate: !reducedMotion(),
        maxZoom: CLOSE_ZOOM,
      });
  }

  function showAll(atOnce = false) {
    const { bounds } = data.info;
    if (!bounds) return map.setView([20, 0], ZOOM.min);
    const [west, south, east, north] = bounds;
    const c = covered();
    const corner = (/** @type {number} */ lat, /** @type {number} */ lon) => /** @type {L.LatLngTuple} */ ([lat, besideLon(lon, nearLon)]);
    return map.fitBounds([corner(south, west), corner(north, east)], {
      paddingTopLeft: [c.left + 24, c.top + 24],
      paddingBottomRight: [c.right + 24, c.bottom + 24],
      animate: !atOnce && !reducedMotion(),
      maxZoom: 18,
    });
  }

  byId("zoom-in").addEventListener("click", () => map.zoomIn());
  byId("zoom-out").addEventListener("click", () => map.zoomOut());
  byId("zoom-all").addEventListener("click", () => showAll());
  map.on("moveend", () => {
    const at = map.getCenter();
    store.set({ at: { lat_deg: at.lat, lon_deg: at.lng }, zoom: map.getZoom() });
  });

  store.subscribe(["at", "zoom"], ({ at, zoom }, _changed, how) => {
    if (how === "back" && at) map.setView([at.lat_deg, at.lon_deg], zoom ?? map.getZoom(), { animate: false });
  });

  /** The middle of what can be seen. @returns {Position} */
  function middle() {
    const c = covered();
    const size = map.getSize();
    const at = map.containerPointToLatLng([(size.x + c.left - c.right) / 2, (size.y + c.top - c.bottom) / 2]);
    return { lat_deg: at.lat, lon_deg: at.lng };
  }

  /** Moves the map as little as is needed to see a place. @param {Position} at */
  function keepInSight(at) {
    const c = covered();
    map.panInside(tuple(at), {
      paddingTopLeft: [c.left + 60, c.top + 90],
      paddingBottomRight: [c.right + 60, c.bottom + 60],
      animate: false,
    });
  }

  return { show, showPair, showAll, showPlaces, middle, keepInSight };
}

/**
 * @param {L.Map} map @param {HarborData} data
 * @param {{open(hit: Hit): void, picked(at: Position): boolean, nothing(): void, marked(): boolean, over(at: Position): boolean}} callbacks
 *   `picked` is asked first and says whether it took the place; `over`: whether something else that can be chosen lies there; `marked`:
 *   hazards and overlaps are drawn
 */
export function mapClicks(map, data, callbacks) {
  const nearLon = middleLon(data.info);
  /** @param {L.LatLng} at */
  function act(at) {
    const place = at.wrap();
    if (callbacks.picked({ lat_deg: place.lat, lon_deg: place.lng })) return;
    const hit = hitAt(data, at, map.getZoom(), nearLon, callbacks.marked());
    if (hit) callbacks.open(hit);
    else callbacks.nothing();
  }
  map.on("click", (event) => act(event.latlng));
  // With the keyboard the cross in the middle is the finger.
  map.getContainer().addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target !== map.getContainer()) return;
    event.preventDefault();
    act(map.getCenter());
  });
  const box = map.getContainer();
  // Leaflet moves the focus along with the mouse; the frame and the cross are for the keyboard only.
  box.addEventListener("pointerdown", () => box.classList.add("by-pointer"), { capture: true });
  box.addEventListener("keydown", () => box.classList.remove("by-pointer"));
  box.addEventListener("blur", () => box.classList.remove("by-pointer"));
  map.on("mousemove", (event) => {
    const place = event.latlng.wrap();
    box.classList.toggle(
      "over",
      callbacks.over({ lat_deg: place.lat, lon_deg: place.lng }) ||
        Boolean(hitAt(data, event.latlng, map.getZoom(), nearLon, callbacks.marked())),
    );
  });
}
