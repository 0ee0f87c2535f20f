import test from "node:test";
import assert from "node:assert/strict";
import { createRoom } from "../js/map/labels.js";

test("no two labels that were granted overlap, and one that overlaps none is granted", () => {
  const room = createRoom();
  const granted = [];
  // A fixed sequence of made-up places (linear congruential, Numerical Recipes' constants), so that a failure can be repeated.
  let seed = 1;
  const next = (most) => {
    seed = (seed * 1664525 + 1013904223) >>> 0;
    return (seed / 2 ** 32) * most;
  };
  for (let i = 0; i < 4000; i++) {
    const box = { x: next(1600) - 200, y: next(1000) - 100, w: 5 + next(120), h: 8 + next(30) };
    const clash = granted.some((g) => Math.abs(g.x - box.x) * 2 < g.w + box.w && Math.abs(g.y - box.y) * 2 < g.h + box.h);
    assert.equal(room.take(box.x, box.y, box.w, box.h), !clash, JSON.stringify(box));
    if (!clash) granted.push(box);
  }
  assert.ok(granted.length > 100);
});
