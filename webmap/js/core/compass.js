// Compass: directions in degrees, and what they are called.

const POINTS = [
  "north",
  "north-north-east",
  "north-east",
  "east-north-east",
  "east",
  "east-south-east",
  "south-east",
  "south-south-east",
  "south",
  "south-south-west",
  "south-west",
  "west-south-west",
  "west",
  "west-north-west",
  "north-west",
  "north-north-west",
];

/** @param {number} deg any @returns {number} the same direction from 0 up to 360 */
export function roundTheCompass(deg) {
  const rest = deg % 360;
  return rest < 0 ? rest + 360 : rest;
}

/** The turn from one direction to another the short way round, positive clockwise. @param {number} from @param {number} to */
export function turn(from, to) {
  const clockwise = roundTheCompass(to - from);
  return clockwise > 180 ? clockwise - 360 : clockwise;
}

/** A direction on the short way from one to another. @param {number} from @param {number} to @param {number} share 0 to 1 */
export function between(from, to, share) {
  return roundTheCompass(from + turn(from, to) * share);
}

/** "south-west". @param {number} deg */
export function pointOf(deg) {
  return POINTS[Math.round(roundTheCompass(deg) / 22.5) % 16];
}
