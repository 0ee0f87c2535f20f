import test from "node:test";
import assert from "node:assert/strict";
import { besideLon, perMetre, roundBelow, worldOf } from "../js/core/scale.js";

// Source: GeographicLib 2.1.2 (Debian's geographiclib-tools), one arc minute north and one east about each latitude: GeodSolve -i -p 6 from
// LAT-0.5' 0 to LAT+0.5' 0, and from LAT 0 to LAT 1', in metres (the geodesic east differs from the parallel by under 0.1 mm).
const ARC_MINUTE_M = [
  { lat: 0, north_m: 1842.904597, east_m: 1855.324847 },
  { lat: 30, north_m: 1847.540708, east_m: 1608.104669 },
  { lat: 45, north_m: 1852.19629, east_m: 1314.113916 },
  { lat: -38.4, north_m: 1850.067655, east_m: 1455.887331 },
  { lat: 60, north_m: 1856.871458, east_m: 930.000024 },
  { lat: 75, north_m: 1860.306401, east_m: 481.700095 },
];

test("a metre is drawn as long as it is, north-south and east-west, at any latitude", () => {
  const minute = 1 / 60;
  for (const { lat, north_m, east_m } of ARC_MINUTE_M) {
    const dy = Math.abs(worldOf(lat - minute / 2, 0).y - worldOf(lat + minute / 2, 0).y);
    const dx = worldOf(lat, minute).x - worldOf(lat, 0).x;
    const metre = perMetre(lat);
    // 1e-6 of a radius of 50 m is 0.05 mm; what the scale changes within the minute itself is of that size.
    assert.ok(Math.abs((north_m * metre.y) / dy - 1) < 1e-6, `north at ${lat}: ${(north_m * metre.y) / dy}`);
    assert.ok(Math.abs((east_m * metre.x) / dx - 1) < 1e-6, `east at ${lat}: ${(east_m * metre.x) / dx}`);
  }
});

test("a longitude is brought beside the harbor's own", () => {
  assert.equal(besideLon(-179.9, 179.8), 180.1);
  assert.equal(besideLon(179.9, -179.8), -180.1);
  assert.equal(besideLon(12, 13), 12);
});

test("a scale bar has a round length", () => {
  for (const [longest, want] of [
    [7, 5],
    [5, 5],
    [4.9, 2],
    [1.9, 1],
    [0.34, 0.2],
    [730, 500],
    [1000, 1000],
  ]) {
    assert.ok(Math.abs(roundBelow(longest) - want) < 1e-12, `${longest}: ${roundBelow(longest)}`);
  }
});
