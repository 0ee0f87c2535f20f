// Data: fetches what lies in a harbor, piece by piece; each piece is shown as soon as it is there.
/** @import { HarborData, HarborInfo, Buoy, Look, MooringCollection, MooringProperties, Report, Position } from "./types" */
/** @import { Coming, Piece } from "./loadharbor.js" */
import { besideLon, perMetre, worldOf } from "./scale.js";

/** @param {HarborInfo} info @returns {HarborData} with nothing in it yet */
export function emptyHarbor(info) {
  return {
    info,
    buoys: [],
    byNumber: new Map(),
    report: { conflicts: [], hazards: [], troubles: [], unknown: [] },
    depthAreas: [],
    depthLines: [],
    soundings: [],
    shoreline: [],
    fairways: [],
    areas: [],
    fresh: new Set(),
  };
}

/**
 * @param {HarborData} data is filled @param {Coming} coming
 * @param {(piece: Piece) => void} came @param {(piece: Piece, fault: Error) => void} failed
 * @returns {Promise<void>} when every piece has come or failed
 */
export async function load(data, coming, came, failed) {
  const pieces = /** @type {Piece[]} */ (Object.keys(coming));
  await Promise.all(
    pieces.map(async (piece) => {
      try {
        take(data, piece, await coming[piece]);
      } catch (fault) {
        failed(piece, /** @type {Error} */ (fault));
        return;
      }
      came(piece);
    }),
  );
}

/** @param {HarborData} data @param {Piece} piece @param {any} answer */
function take(data, piece, answer) {
  switch (piece) {
    case "moorings":
      takeMoorings(data, answer);
      break;
    case "check":
      takeReport(data, answer);
      break;
    case "areas":
      data.areas = answer.features;
      break;
    case "fairways":
      data.fairways = answer.features;
      break;
    case "shoreline":
      data.shoreline = answer.features;
      break;
    case "depth_areas":
      data.depthAreas = answer.features;
      break;
    case "depth_lines":
      data.depthLines = answer.features;
      break;
    case "soundings":
      data.soundings = answer.features;
      break;
  }
}

/** @param {HarborData} data @param {Report} report */
function takeReport(data, report) {
  data.report = {
    conflicts: report.conflicts ?? [],
    hazards: report.hazards ?? [],
    troubles: report.troubles ?? [],
    unknown: report.unknown ?? [],
  };
}

/** @param {HarborData} data @param {MooringCollection} collection */
function takeMoorings(data, collection) {
  data.buoys = buoysOf(collection, data.info);
  data.byNumber = new Map(data.buoys.map((buoy) => [buoy.number, buoy]));
}

/** @param {MooringCollection} collection @param {HarborInfo} info @returns {Buoy[]} */
export function buoysOf(collection, info) {
  const near = middleLon(info);
  return collection.features.map(({ geometry, properties }) => {
    const [lon, lat] = geometry.coordinates;
    return buoyOf(
      { ...properties, hazards: properties.hazards ?? [], troubles: properties.troubles ?? [], unknown: properties.unknown ?? [] },
      { lat_deg: lat, lon_deg: besideLon(lon, near) },
    );
  });
}

/** @param {MooringProperties} properties @param {Position} at @returns {Buoy} */
function buoyOf(properties, at) {
  const metre = perMetre(at.lat_deg);
  return { ...properties, ...at, ...worldOf(at.lat_deg, at.lon_deg), perMetreX: metre.x, perMetreY: metre.y, look: lookOf(properties) };
}

/**
 * How a mooring is drawn and called. A conflict comes before another trouble, that before a gap in what is known, and that before a
 * vacancy.
 * @param {MooringProperties} p @returns {Look}
 */
export function lookOf(p) {
  if (p.state === "touching" || p.state === "may_touch" || p.state === "tight") return p.state;
  const keepsNoWater = p.status === "vacant" && p.radius_basis === "none";
  if (keepsNoWater) return "vacant";
  if (p.radius_m === null || p.radius_bound) return "unknown";
  if (p.state === "trouble") return "trouble";
  if (p.state === "unsaid" || p.unknown.length) return "unsaid";
  return p.status === "vacant" ? "vacant" : "clear";
}

/**
 * The mooring on record that another one, perhaps only tried, is in conflict with.
 * @param {HarborData} data
 * @param {import("./types").Conflict} conflict
 * @param {string} number of the one tried; empty for a place of one's own
 */
export function otherOf(data, { a, b }, number) {
  return data.byNumber.get(b !== number && data.byNumber.has(b) ? b : a);
}

/** The longitude beside which all others of the harbor are drawn. @param {HarborInfo} info */
export function middleLon(info) {
  if (!info.bounds) return 0;
  const [west, , east] = info.bounds;
  return (west + besideLon(east, west + 180)) / 2;
}
