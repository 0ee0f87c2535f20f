import test from "node:test";
import assert from "node:assert/strict";
import { stepValue } from "../js/controls/working.js";
import { wrongIn } from "../js/sheet/reach.js";
import { isWinterPart, measuresOf } from "../js/sheet/section.js";

const plain = (text) => text.replaceAll("\u00a0", " ").replaceAll("\u2212", "-");

test("a figure of a working keeps its unit, and what can be in feet and pounds is", () => {
  for (const [unit, value, metres, feet] of [
    ["m", 24.0792, "24.08 m", "79.00 ft"],
    ["N", 6102.96, "6103 N", "1372.0 lbf"],
    ["m²", 5.63438, "5.63 m²", "60.6 ft²"],
    ["kn", 42, "42 kn", "42 kn"],
    ["", 1.3, "1.3", "1.3"],
  ]) {
    assert.equal(plain(stepValue({ value, unit }, "metres")), metres);
    assert.equal(plain(stepValue({ value, unit }, "feet")), feet);
  }
});

test("what is wrong at a level is said once, for the strongest wind", () => {
  const row = (kn, metres, feet = metres, state = {}) => ({ level_m: 0, wind_ms: (kn * 1852) / 3600, words: { feet, metres }, state });
  assert.deepEqual(wrongIn([row(0, ""), row(20, "")], "metres"), []);
  assert.deepEqual(
    wrongIn([row(0, ""), row(20, "the buoy goes under: 463 N"), row(42, "the buoy goes under: 656 N, 0.52 m")], "metres").map(plain),
    ["In a wind of 42 kn the buoy goes under: 656 N, 0.52 m."],
  );
  assert.deepEqual(
    wrongIn(
      [
        row(0, "mooring 8 m: the rode of 3 m is short", "mooring 8 m: the rode of 10 ft is short", null),
        row(20, "mooring 8 m: the rode of 3 m is short", "mooring 8 m: the rode of 10 ft is short", null),
      ],
      "feet",
    ).map(plain),
    ["In any wind: mooring 8 m: the rode of 10 ft is short."],
  );
});

test("the winter marker is no part of what holds the boat", () => {
  assert.deepEqual(
    ["anchor", "marker_line", "marker", "buoy"].map((kind) => isWinterPart({ kind })),
    [false, true, true, false],
  );
  const tackle = [
    { kind: "top_chain", length_m: 9 },
    { kind: "pennant", length_m: 3 },
    { kind: "marker_line", length_m: 8 },
  ];
  const sheet = { swing: { working: [] }, mooring: { tackle, boat: { loa_m: 9 } }, depth: { depth_m: 5 } };
  assert.equal(measuresOf(sheet, null).rode_m, 12);
});
