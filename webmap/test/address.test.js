import test from "node:test";
import assert from "node:assert/strict";
import { FIRST, format, parse } from "../js/address.js";

test("what the address carries comes back as it was", () => {
  for (const view of [
    FIRST,
    { ...FIRST, harbor: "bay", at: { lat_deg: -38.421301, lon_deg: -21.7142 }, zoom: 16.25, mooring: "007", with: "A&B=C#1", level: 1.85, units: "feet" },
    { ...FIRST, harbor: "ä b", panel: "fit", list: "moorings", area: "Old Quay", contrast: true, level: "high", units: "metres" },
    { ...FIRST, mooring: "12", hazard: "shoal", level: -0.4, at: { lat_deg: 10, lon_deg: 180.25 }, zoom: 12 },
  ]) assert.deepEqual(parse(format(view)), view);
});

test("an address that makes no sense is left at its first value", () => {
  for (const hash of ["", "#", "#at=91,0&zoom=99&units=fathoms&level=ebb&ask=why&list=x&contrast=yes", "#at=a,b&zoom=&level=m"]) {
    assert.deepEqual(parse(hash), FIRST, hash);
  }
});
