import test from "node:test";
import assert from "node:assert/strict";
import { coalesce } from "../js/core/coalesce.js";
import { bound, limitName, limitWords, moved, shortWords, verdict } from "../js/words/openwater.js";
import { waterArea } from "../js/words/units.js";

const plain = (text) => text.replaceAll("\u00a0", " ");
const after = (ms) =>
  new Promise((done) => {
    setTimeout(done, ms);
  });

test("one question at a time; of what was wanted meanwhile only the last is asked", async () => {
  const asked = [];
  const came = [];
  let now = 0;
  let most = 0;
  const chasing = coalesce(
    async (n) => {
      asked.push(n);
      most = Math.max(most, ++now);
      await after(30);
      now--;
      return n * 10;
    },
    (answer, wanted, last) => came.push([answer, wanted, last]),
    assert.fail,
  );
  for (let n = 1; n <= 5; n++) {
    chasing.after(n);
    await after(8);
  }
  assert.ok(chasing.behind());
  await after(120);
  assert.ok(!chasing.behind());
  assert.equal(most, 1);
  assert.equal(asked.at(-1), 5);
  assert.ok(asked.length < 5);
  assert.deepEqual(came.at(-1), [50, 5, true]);
  assert.equal(came[0][2], false);
});

test("what nobody wants any more does not come, and asking goes on after it", async () => {
  const came = [];
  const chasing = coalesce(
    async (n) => {
      await after(20);
      return n;
    },
    (answer) => came.push(answer),
    assert.fail,
  );
  chasing.after(1);
  chasing.drop();
  chasing.after(2);
  await after(80);
  assert.deepEqual(came, [2]);
});

test("only the newest question's failure is told", async () => {
  const failed = [];
  const came = [];
  const chasing = coalesce(
    async (n) => {
      await after(10);
      if (n !== 2) throw new Error(String(n));
      return n;
    },
    (answer) => came.push(answer),
    (fault) => failed.push(fault.message),
  );
  chasing.after(1);
  chasing.after(2);
  await after(60);
  assert.deepEqual([came, failed], [[2], []]);
  chasing.after(3);
  await after(40);
  assert.deepEqual(failed, ["3"]);
});

test("a bound is never told as less than it is", () => {
  assert.equal(plain(bound(34.7163, "metres")), "34.72 m");
  assert.equal(plain(bound(2, "metres")), "2.00 m");
  assert.equal(plain(bound(3.048, "feet")), "10.00 ft");
  assert.equal(plain(bound(3.0481, "feet")), "10.01 ft");
});

test("what limits a place is called by its number, its name or its kind", () => {
  const limits = [
    { kind: "mooring", name: "217", clearance_m: 3.2 },
    { kind: "shore", name: "", clearance_m: -1.5 },
    { kind: "fairway", name: "Town Channel", clearance_m: 9 },
  ];
  assert.deepEqual(limits.map(limitName), ["217", "the shore", "Town Channel"]);
  assert.equal(limitName({ kind: "area_edge", name: "Middle Ground", clearance_m: 0 }), "the area's edge");
  assert.equal(plain(limitWords({ limits }, "metres")), "217 +3.2 m, the shore \u22121.5 m");
  assert.equal(plain(shortWords({ limits, short: [limits[1]] }, "metres")), "1.5 m to the shore");
  assert.equal(plain(verdict(3.2, limits[0], "metres")), "Fits: 3.2 m to spare, nearest 217");
  assert.equal(plain(verdict(-1.4, limits[0], "metres")), "Does not fit: 1.4 m short to 217");
});

test("a step of some metres is one on the ellipsoid", () => {
  // At 45° a degree of latitude is 111 131.75 m long and one of longitude 78 846.81 m (WGS 84; NGA.STND.0036, from the radii of curvature).
  const at = moved({ lat_deg: 45, lon_deg: 8 }, 10, -10);
  assert.ok(Math.abs((45 - at.lat_deg) * 111131.75 - 10) < 0.001, String(at.lat_deg));
  assert.ok(Math.abs((at.lon_deg - 8) * 78846.81 - 10) < 0.001, String(at.lon_deg));
});

test("open water in square metres, square feet and acres", () => {
  assert.equal(plain(waterArea(26180.6, "metres")), "26,181 m²");
  assert.equal(plain(waterArea(4046.8564224, "feet")), "1.00 acres"); // the international acre
  assert.equal(plain(waterArea(92.90304, "feet")), "1,000 ft²");
});
