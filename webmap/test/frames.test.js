import test from "node:test";
import assert from "node:assert/strict";
import { between, pointOf, turn } from "../js/core/compass.js";
import { around, blend, closest, gapsAt, reelOf, stateOfGap, weatherAt } from "../js/map/frames.js";

test("a direction turns the short way round, across north too", () => {
  assert.equal(turn(350, 10), 20);
  assert.equal(turn(10, 350), -20);
  assert.equal(turn(90, 270), 180);
  assert.equal(between(350, 10, 0.5), 0);
  assert.equal(between(10, 350, 0.75), 355);
  assert.equal(between(350, 10, 0), 350);
  assert.equal(between(350, 10, 1), 10);
  assert.equal(between(100, 140, 0.25), 110);
});

test("a direction is called by its point of the compass", () => {
  assert.deepEqual([0, 45, 225, 337.5, 359, -90, 11.2, 11.3].map(pointOf), [
    "north",
    "north-east",
    "south-west",
    "north-north-west",
    "north",
    "west",
    "north",
    "north-north-east",
  ]);
});

/** @param {"shift" | "tide"} play */
function reel(play) {
  const frame = (wind, reach, load, stern, gaps, more = {}) => ({
    weather: { wind_from_deg: wind, wind_ms: 5, gust: 1, stream_to_deg: 20, stream_ms: 0, level_m: 0, ...more },
    at: null,
    lies: [
      [reach, load, stern],
      [8, 90, 90],
    ],
    gaps,
  });
  return reelOf({
    play,
    moorings: ["1", "2"],
    length_m: [9, 10],
    beam_m: [3, 3],
    unknown: null,
    words: "",
    frames: [frame(170, 4, 350, 355, [[0, 1, 0.9]]), frame(180, 6, 10, 5, [[0, 1, 0.5]]), frame(190, 6, 20, 15, null)],
  });
}

test("boats are blended between two frames and are at the frames themselves at both ends", () => {
  const { lies } = reel("shift");
  const out = new Float64Array(6);
  blend(out, lies[0], lies[1], 0.5);
  assert.deepEqual(
    [...out].map((v) => v % 360),
    [5, 0, 0, 8, 90, 90],
  );
  blend(out, lies[0], lies[1], 0);
  assert.deepEqual([...out], [4, 350, 355, 8, 90, 90]);
  blend(out, lies[0], lies[1], 1);
  assert.deepEqual(
    [...out].map((v) => v % 360),
    [6, 10, 5, 8, 90, 90],
  );
});

test("a shift ends where it began, a tide at its last frame, and nothing goes beyond", () => {
  assert.equal(reel("shift").last, 3);
  assert.deepEqual(around(reel("shift"), 2.25), { from: 2, to: 0, share: 0.25 });
  assert.deepEqual(around(reel("shift"), 3), { from: 0, to: 1, share: 0 });
  assert.equal(reel("tide").last, 2);
  assert.deepEqual(around(reel("tide"), 2), { from: 2, to: 2, share: 0 });
  assert.deepEqual(around(reel("tide"), 99.5), { from: 2, to: 2, share: 0 });
  assert.deepEqual(around(reel("tide"), -1), { from: 0, to: 1, share: 0 });
});

test("the weather between two frames", () => {
  assert.equal(weatherAt(reel("tide"), 0.5).wind_from_deg, 175);
  const tide = reel("tide");
  Object.assign(tide.weather[0], { stream_to_deg: 20, stream_ms: 0.2, level_m: 1 });
  Object.assign(tide.weather[1], { stream_to_deg: 200, stream_ms: 0.6, level_m: 3 });
  tide.at[0] = 1000;
  tide.at[1] = 3000;
  // At slack water the stream stands still and turns; it does not sweep round.
  for (const [moment, deg, ms] of [
    [0, 20, 0.2],
    [0.125, 20, 0.1],
    [0.25, 20, 0],
    [0.5, 200, 0.2],
    [0.75, 200, 0.4],
  ]) {
    const w = weatherAt(tide, moment);
    assert.equal(w.stream_to_deg, deg, `at ${moment}`);
    assert.ok(Math.abs(w.stream_ms - ms) < 1e-9, `at ${moment}: ${w.stream_ms}`);
  }
  assert.equal(weatherAt(tide, 0.25).level_m, 1.5);
  assert.equal(weatherAt(tide, 0.25).rising, true);
  assert.equal(weatherAt(tide, 0.25).at, 1500);
});

test("gaps are those of the nearer frame, eased where both have the pair", () => {
  assert.deepEqual(gapsAt(reel("tide"), 0), [{ i: 0, j: 1, gap_m: 0.9 }]);
  assert.ok(Math.abs(gapsAt(reel("tide"), 0.5)[0].gap_m - 0.7) < 1e-9);
  assert.deepEqual(gapsAt(reel("tide"), 1.25), [{ i: 0, j: 1, gap_m: 0.5 }]);
  assert.deepEqual(gapsAt(reel("tide"), 1.5), []);
  assert.deepEqual(closest(reel("tide")), [{ i: 0, j: 1, gap_m: 0.5, frame: 1 }]);
});

test("a gap is called as a circle's would be, by the accuracy of both positions", () => {
  assert.equal(stateOfGap(-1.5, 1, 1), "touching");
  assert.equal(stateOfGap(-1.4, 1, 1), "may_touch");
  assert.equal(stateOfGap(1.4, 1, 1), "may_touch");
  assert.equal(stateOfGap(1.5, 1, 1), "tight");
  assert.equal(stateOfGap(0.1, null, null), "tight");
});
