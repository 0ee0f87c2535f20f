import test from "node:test";
import assert from "node:assert/strict";
import { addLens, halfAngles } from "../js/map/lens.js";

/** A canvas that only remembers. */
function recorder() {
  const calls = [];
  const note =
    (name) =>
    (...args) =>
      calls.push([name, ...args]);
  return { calls, moveTo: note("moveTo"), ellipse: note("ellipse") };
}

test("the lens of two unit circles one radius apart spans a third of each", () => {
  // Two equilateral triangles of side 1: the half angle is 60° (Euclid, Elements, book I, proposition 1).
  const half = halfAngles(1, 1, 1);
  assert.ok(Math.abs(half.one - Math.PI / 3) < 1e-12 && Math.abs(half.other - Math.PI / 3) < 1e-12);
});

test("circles that do not cross have no lens", () => {
  assert.equal(halfAngles(2.1, 1, 1), null);
  assert.equal(halfAngles(0.2, 1, 2), null);
  assert.equal(addLens(recorder(), { x: 0, y: 0, rx: 1, ry: 1 }, { x: 3, y: 0, rx: 1, ry: 1 }), false);
});

test("where one lies within the other, the smaller is the shared water", () => {
  const pen = recorder();
  assert.equal(addLens(pen, { x: 0, y: 0, rx: 5, ry: 5 }, { x: 1, y: 0, rx: 2, ry: 2 }), true);
  assert.deepEqual(pen.calls[1].slice(0, 5), ["ellipse", 1, 0, 2, 2]);
});

test("the second arc of a lens begins where the first ends, and ends where it began", () => {
  for (const [a, b] of [
    [
      { x: 10, y: 20, rx: 30, ry: 30.1 },
      { x: 45, y: 33, rx: 18, ry: 18.06 },
    ],
    [
      { x: 0, y: 0, rx: 10, ry: 10 },
      { x: -3, y: -14, rx: 9, ry: 9 },
    ],
  ]) {
    const pen = recorder();
    addLens(pen, a, b);
    const arcs = pen.calls.filter(([name]) => name === "ellipse");
    const at = ([, x, y, rx, ry], angle) => [x + rx * Math.cos(angle), y + ry * Math.sin(angle)];
    const [first, second] = arcs;
    for (const [p, q] of [
      [at(first, first[7]), at(second, second[6])],
      [at(second, second[7]), at(first, first[6])],
      [at(first, first[6]), pen.calls[0].slice(1)],
    ]) {
      const gap = Math.hypot(p[0] - q[0], p[1] - q[1]);
      assert.ok(gap < 1e-6 /* a millionth of a pixel */, `gap of ${gap} px`);
    }
  }
});
