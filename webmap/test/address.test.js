import test from "node:test";
import assert from "node:assert/strict";
import { FIRST, FIRST_WEATHER, format, parse } from "../js/core/address.js";

test("what the address carries comes back as it was", () => {
  for (const view of [
    FIRST,
    {
      ...FIRST,
      harbor: "bay",
      at: { lat_deg: -38.421301, lon_deg: -21.7142 },
      zoom: 16.25,
      mooring: "007",
      with: "A&B=C#1",
      level: 1.85,
      units: "feet",
    },
    { ...FIRST, harbor: "ä b", panel: "fit", list: "moorings", area: "Old Quay", contrast: true, level: "high", units: "metres" },
    { ...FIRST, mooring: "12", hazard: "shoal", level: -0.4, at: { lat_deg: 10, lon_deg: 180.25 }, zoom: 12 },
    { ...FIRST, panel: "lie", weather: FIRST_WEATHER },
    { ...FIRST, panel: "lie", weather: { wind_from_deg: 7.5, wind_kn: 41, gust: 1.3, stream_to_deg: 200, stream_kn: 0.7, water: "now" } },
    { ...FIRST, weather: { wind_from_deg: 0, wind_kn: 0, gust: 1, stream_to_deg: 359, stream_kn: 3, water: -0.35 } },
    { ...FIRST, panel: "where", sought: { answer: "room", query: { area: "Old Quay", loa_m: "8.5", rode_m: "12" } } },
    {
      ...FIRST,
      panel: "where",
      sought: { answer: "capacity", query: { area: "A&B", loa_m: "8.5", scope: "3", layout: "moved", move: "301,305" } },
    },
    { ...FIRST, panel: "next", sought: { answer: "waiting", query: { area: "West", open: "44.2,-41.5", tackle_of: "301" } } },
    {
      ...FIRST,
      panel: "free",
      sought: { answer: "what_if", query: { area: "West", elastic: "rubber", elastic_ratio: "1.3", like: "301" } },
    },
  ])
    assert.deepEqual(parse(format(view)), view);
});

test("an answer is brought back with its own question only", () => {
  assert.equal(parse("#ask=fit&answer=room&in=West&loa_m=8").sought, null);
  assert.equal(parse("#ask=next&answer=capacity").sought, null);
  assert.equal(format({ ...FIRST, panel: "fit", sought: { answer: "room", query: { area: "West" } } }), "#ask=fit");
  assert.deepEqual(parse("#ask=where&answer=room&in=West&who=x&loa_m=" + "8".repeat(500)).sought, {
    answer: "room",
    query: { area: "West" },
  });
});

test("an address from before there was a weather still means what it meant", () => {
  const old = "#harbor=bay&at=44.203000,-41.499000&zoom=17.5&mooring=012&ask=fit&units=feet&level=high";
  assert.equal(parse(old).weather, null);
  assert.equal(format(parse(old)), old);
});

test("a weather typed by hand is read as far as it goes", () => {
  assert.deepEqual(parse("#wind=90,15").weather, { ...FIRST_WEATHER, wind_from_deg: 90, wind_kn: 15 });
  assert.deepEqual(parse("#stream=20,1.5&water=high").weather, { ...FIRST_WEATHER, stream_to_deg: 20, stream_kn: 1.5, water: "high" });
  assert.deepEqual(parse("#wind=400,15&gust=9&stream=1,99&water=ebb").weather, FIRST_WEATHER);
});

test("an address that makes no sense is left at its first value", () => {
  for (const hash of ["", "#", "#at=91,0&zoom=99&units=fathoms&level=ebb&ask=why&list=x&contrast=yes", "#at=a,b&zoom=&level=m"]) {
    assert.deepEqual(parse(hash), FIRST, hash);
  }
});
