import test from "node:test";
import assert from "node:assert/strict";
import {
  bearing,
  ddm,
  figure,
  force,
  forceAlong,
  knots,
  length,
  parseLength,
  signed,
  surface,
  thickness,
  weight,
} from "../js/words/units.js";

const plain = (text) => text.replaceAll("\u00a0", " ").replaceAll("\u2212", "-");

test("a length is written with its unit, and what is unknown says so", () => {
  for (const [metres, units, want] of [
    [12.34, "metres", "12.3 m"],
    [0.04, "metres", "0.04 m"],
    [-0.4, "metres", "-0.40 m"],
    [140.2, "metres", "140 m"],
    [0.999, "metres", "1.0 m"],
    [99.96, "metres", "100 m"],
    [0, "metres", "0.00 m"],
    [3.048, "feet", "10.0 ft"],
    [0.3048, "feet", "1.0 ft"],
    [30.48, "feet", "100 ft"],
    [null, "feet", "unknown"],
    [undefined, "metres", "unknown"],
    [NaN, "metres", "unknown"],
  ])
    assert.equal(plain(length(metres, units)), want, `${metres} in ${units}`);
});

test("a figure never shows minus nothing", () => {
  assert.equal(figure(-0.001), "0.00");
  assert.equal(plain(signed(1.2, "metres")), "+1.2 m");
  assert.equal(plain(signed(-1.2, "metres")), "-1.2 m");
});

test("a length is read as people type it", () => {
  for (const [text, units, want] of [
    ["9.8", "metres", 9.8],
    ["9,8", "metres", 9.8],
    ["9.8 m", "feet", 9.8],
    ["10", "feet", 3.048],
    ["32 ft", "metres", 9.7536],
    ["32'6\"", "metres", 9.906],
    ["32 ft 6 in", "metres", 9.906],
    ["32′ 6″", "feet", 9.906],
    ["32’", "feet", 9.7536],
    ["-1.5", "metres", -1.5],
  ])
    assert.ok(
      Math.abs(parseLength(text, units) - want) < 1e-9 /* no rounding but the machine's */,
      `${text} in ${units}: ${parseLength(text, units)}`,
    );
  for (const text of ["", "long", "9.8.1", "3 fathoms", "1e3", "NaN"]) assert.equal(parseLength(text, "metres"), null, text);
});

test("bearings, thicknesses and weights", () => {
  assert.equal(bearing(7.4), "007°");
  assert.equal(bearing(359.6), "000°");
  assert.equal(plain(thickness(0.0127, "feet")), "1/2 in");
  assert.equal(plain(thickness(0.015875, "feet")), "5/8 in");
  assert.equal(plain(thickness(0.6096, "feet")), "24.0 in");
  assert.equal(plain(thickness(0.013, "metres")), "13 mm");
  assert.equal(plain(weight(453.59237, "feet")), "1000 lb");
});

test("a position is written as the service writes it", () => {
  // The forms are those of the core's own example, and of a minute that carries.
  assert.equal(ddm({ lat_deg: 44.20575, lon_deg: -41.50205 }), "44° 12.3450' N  041° 30.1230' W");
  assert.equal(ddm({ lat_deg: -0.99999999999, lon_deg: 179.5 }), "01° 00.0000' S  179° 30.0000' E");
});

test("speeds, forces and surfaces", () => {
  assert.equal(plain(knots(1852 / 3600, 1)), "1.0 kn");
  assert.equal(plain(knots(21.6066667)), "42 kn");
  // One pound-force is 4.4482216 N (NIST Special Publication 811, B.8).
  assert.equal(plain(force(444.82216, "feet")), "100 lbf");
  assert.equal(plain(force(444.82216, "metres")), "445 N");
  assert.equal(force(null, "metres"), "unknown");
  assert.equal(plain(forceAlong(48.7, "metres")), "48.7 N/m");
  assert.equal(plain(forceAlong(14.593903, "feet")), "1.0 lbf/ft");
  assert.equal(plain(surface(0.09290304, "feet")), "1.0 ft²");
  assert.equal(plain(surface(5.634, "metres")), "5.63 m²");
});
