// Scale: where a position lies on the flat map (Web Mercator, the whole world from 0 to 1), and how many of its
// units a metre is there. The map stretches lengths with the latitude, and a little differently north-south
// than east-west because the Earth is no sphere; a circle drawn without both is up to 0.7 % wrong.

/** WGS 84: equatorial radius in metres, and the square of the first eccentricity. Source: NGA.STND.0036 (2014), table 3.1 and 3.3. */
const A_M = 6378137;
const E2 = 6.694379990141e-3;

const RAD = Math.PI / 180;

/** @param {number} latDeg @param {number} lonDeg @returns {{x: number, y: number}} */
export function worldOf(latDeg, lonDeg) {
  return {
    x: (lonDeg + 180) / 360,
    y: 0.5 - Math.log(Math.tan(Math.PI / 4 + (latDeg * RAD) / 2)) / (2 * Math.PI),
  };
}

/**
 * World units per metre on the ellipsoid, eastward and northward.
 * With N and M the radii of curvature: x = (1/2πA)·A·lon and ground = N·cos(lat)·lon, so 1/(2π·N·cos); likewise 1/(2π·M·cos) for y.
 * @param {number} latDeg
 */
export function perMetre(latDeg) {
  const sin = Math.sin(latDeg * RAD);
  const cos = Math.cos(latDeg * RAD);
  const w2 = 1 - E2 * sin * sin;
  const primeVerticalM = A_M / Math.sqrt(w2);
  const meridianM = (A_M * (1 - E2)) / (w2 * Math.sqrt(w2));
  return { x: 1 / (2 * Math.PI * primeVerticalM * cos), y: 1 / (2 * Math.PI * meridianM * cos) };
}

/** Pixels that the whole world is wide at a zoom. @param {number} zoom */
export function worldPixels(zoom) {
  return 256 * 2 ** zoom;
}

/**
 * Brings a longitude next to another, so that a harbor on the antimeridian stays in one piece.
 * @param {number} lonDeg
 * @param {number} nearDeg
 */
export function besideLon(lonDeg, nearDeg) {
  return lonDeg + 360 * Math.round((nearDeg - lonDeg) / 360);
}

/**
 * A round length for a scale bar: 1, 2 or 5 times a power of ten, at most `longest`.
 * @param {number} longest
 */
export function roundBelow(longest) {
  const power = 10 ** Math.floor(Math.log10(longest));
  for (const step of [5, 2]) if (step * power <= longest) return step * power;
  return power;
}
