// Lens: the water that two circles share, as two arcs.

/**
 * Half the angle that the lens takes up on each circle, seen from its middle.
 * @param {number} distance between the middles @param {number} one radius @param {number} other radius
 * @returns {{one: number, other: number} | null} null where the circles do not cross: apart, or one within the other
 */
export function halfAngles(distance, one, other) {
  if (distance >= one + other || distance <= Math.abs(one - other)) return null;
  // How far from the first middle the chord through both crossings lies: from d² + r² - s² = 2·d·x.
  const x = (distance * distance + one * one - other * other) / (2 * distance);
  return { one: Math.acos(clamp(x / one)), other: Math.acos(clamp((distance - x) / other)) };
}

/** @param {number} v */
const clamp = (v) => Math.max(-1, Math.min(1, v));

/**
 * Adds the lens of two circles on the screen to a path. Where one lies within the other, the smaller is added.
 * The circles are ellipses by a hair, both alike; they are taken as circles of a plane that is stretched as much.
 * @param {CanvasRenderingContext2D} ctx
 * @param {{x: number, y: number, rx: number, ry: number}} a @param {{x: number, y: number, rx: number, ry: number}} b
 * @returns {boolean} whether they share any water
 */
export function addLens(ctx, a, b) {
  const stretch = a.ry / a.rx;
  const dx = b.x - a.x;
  const dy = (b.y - a.y) / stretch;
  const distance = Math.hypot(dx, dy);
  if (distance >= a.rx + b.rx) return false;
  const half = halfAngles(distance, a.rx, b.rx);
  if (!half) {
    const small = a.rx < b.rx ? a : b;
    ctx.moveTo(small.x + small.rx, small.y);
    ctx.ellipse(small.x, small.y, small.rx, small.rx * stretch, 0, 0, 2 * Math.PI);
    return true;
  }
  const toB = Math.atan2(dy, dx);
  const toA = toB + Math.PI;
  const from = toB - half.one;
  ctx.moveTo(a.x + a.rx * Math.cos(from), a.y + a.rx * stretch * Math.sin(from));
  ctx.ellipse(a.x, a.y, a.rx, a.rx * stretch, 0, from, toB + half.one);
  // The second arc ends where the first began. Closing it would cost a walk over all lenses added before.
  ctx.ellipse(b.x, b.y, b.rx, b.rx * stretch, 0, toA - half.other, toA + half.other);
  return true;
}
