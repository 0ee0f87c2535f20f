import test from "node:test";
import assert from "node:assert/strict";
import { capacityTitle, layoutWords, positionsCSV, positionsGeoJSON } from "../js/words/capacity.js";
import { changeWords, circlesArea } from "../js/words/whatif.js";
import { refusalWords } from "../js/words/refused.js";
import { bodyOf, positionText } from "../js/words/takeplace.js";
import { offersInOrder, servedWords, sinceWords } from "../js/words/waiting.js";
import { eventReader } from "../js/core/longrequest.js";

const plain = (text) => text.replaceAll("\u00a0", " ");
const counted = {
  layout: "as_is",
  count: 2,
  positions: [
    { lat_deg: 44.5, lon_deg: -41.25 },
    { lat_deg: 44.25, lon_deg: -41.5 },
  ],
  upper_bound: 3,
  bound: "",
  ended: false,
  moved: [],
  unplaced: [],
  rows: 0,
  rows_true_deg: null,
  spacing_m: null,
  row_gap_m: null,
};

test("events are read in pieces of any size", () => {
  const stream =
    'event: begun\ndata: {"search":"X"}\n\n: a comment\nevent: progress\r\ndata: 1\r\ndata: 2\r\n\r\n' +
    "data:bare\n\nevent: lost\ndata: unfinished";
  for (const size of [1, 3, 7, stream.length]) {
    const heard = [];
    const feed = eventReader((event, data) => heard.push([event, data]));
    for (let i = 0; i < stream.length; i += size) feed(stream.slice(i, i + size));
    assert.deepEqual(
      heard,
      [
        ["begun", '{"search":"X"}'],
        ["progress", "1\n2"],
        ["message", "bare"],
      ],
      `pieces of ${size}`,
    );
  }
});

test("a count says whether the moorings stay, and whether more could go in", () => {
  assert.equal(plain(capacityTitle(counted, "Town Cove")), "2 more boats like this fit in Town Cove");
  assert.equal(plain(capacityTitle({ ...counted, count: 1 }, "Town Cove")), "1 more boat like this fits in Town Cove");
  assert.equal(plain(capacityTitle({ ...counted, count: 0 }, "Town Cove")), "No more boats like this fit in Town Cove");
  assert.equal(plain(capacityTitle({ ...counted, layout: "free" }, "Town Cove")), "Town Cove, laid out anew, takes 2 boats like this one");
  assert.match(layoutWords(counted, "Town Cove"), /stay where they are\. No layout takes more than 3\.$/);
  assert.match(layoutWords({ ...counted, upper_bound: 2 }, "Town Cove"), /No layout takes more\.$/);
});

test("the positions for the work boat are a table with its units in the headings, and points", () => {
  const moved = { ...counted, moved: [{ number: '3"01', position: { lat_deg: -0.5, lon_deg: 10 }, by_m: 3.048 }] };
  assert.equal(
    positionsCSV(moved, { area: "Cove, Town" }, "feet"),
    [
      "place,area,lat_deg,lon_deg,position_degrees_decimal_minutes,moved_by_ft",
      `new 1,"Cove, Town",44.5000000,-41.2500000,44° 30.0000' N 041° 15.0000' W,`,
      `new 2,"Cove, Town",44.2500000,-41.5000000,44° 15.0000' N 041° 30.0000' W,`,
      `"3""01","Cove, Town",-0.5000000,10.0000000,00° 30.0000' S 010° 00.0000' E,10.0`,
      "",
    ].join("\r\n"),
  );
  const points = JSON.parse(positionsGeoJSON(moved));
  assert.deepEqual(
    points.features.map((each) => each.geometry.coordinates),
    [
      [-41.25, 44.5],
      [-41.5, 44.25],
      [10, -0.5],
    ],
  );
});

test("of who comes from the waiting list the boat on the list is set, else the boat that was asked for", () => {
  const query = { area: "West", loa_m: "8.5", rode_m: "12", layout: "free" };
  const at = { lat_deg: 44.5, lon_deg: 318.75 };
  const typed = { who: "A", why: "B", boat: "Wren" };
  assert.deepEqual(bodyOf({ at, query, clearance_m: null, limit: null }, typed), {
    position: "44.50000000, -41.25000000",
    area: "West",
    rode_m: "12",
    loa_m: "8.5",
    boat: "Wren",
  });
  assert.deepEqual(bodyOf({ at, query, clearance_m: null, limit: null, waiting: "Early Bird" }, { who: "A", why: "B" }), {
    position: "44.50000000, -41.25000000",
    area: "West",
    rode_m: "12",
    waiting: "Early Bird",
  });
  assert.equal(positionText({ lat_deg: -1, lon_deg: -190 }), "-1.00000000, 170.00000000");
});

test("what is not known to be done is not told as undone", () => {
  const nobody = { name: "", role: /** @type {const} */ ("public"), accounts: false, may: [] };
  const told = (/** @type {number} */ status, accounts = false, retryAfterS = null) =>
    refusalWords({ status, retryAfterS }, { ...nobody, accounts });
  assert.match(told(0).title, /It is not known/);
  assert.match(told(502).title, /It is not known/);
  assert.match(told(403).title, /read-only/);
  assert.match(told(403, true).title, /may not do this/);
  assert.match(told(400).next, /kept/);
  assert.match(plain(refusalWords({ status: 429, retryAfterS: 30 }, nobody).next), /Wait 30 seconds/);
  assert.match(plain(refusalWords({ status: 429, retryAfterS: 150 }, nobody).next), /Wait 3 minutes/);
  for (const status of [0, 400, 403, 409, 413, 429, 500, 507]) assert.match(told(status).next, /What you typed is kept/, String(status));
});

test("the waiting list in words", () => {
  const given = (/** @type {string} */ mooring) => ({ name: "", since: "", mooring, spare_m: null, words: "" });
  assert.equal(plain(servedWords({ given: [given("1"), given("")] })), "1 of the 2 boats that wait gets a place");
  assert.equal(plain(servedWords({ given: [] })), "Nobody is waiting");
  assert.equal(sinceWords("2017-04-06"), "waiting since 6 April 2017");
  assert.equal(sinceWords("long ago"), "waiting since long ago");
  assert.equal(sinceWords(""), "");
  const offer = (mooring, name, since) => ({ mooring, name, since });
  assert.deepEqual(
    offersInOrder({ offers: [offer("1", "", ""), offer("2", "B", "2016-01-01"), offer("3", "A", "2014-01-01")] }).map(
      (each) => each.mooring,
    ),
    ["3", "2", "1"],
  );
});

test("a change in words, and the water of its circles", () => {
  assert.equal(changeWords({ area: "West", scope: "3" }, "feet"), "West at a scope of 3");
  assert.equal(plain(changeWords({ area: "West", margin_m: "0.6096" }, "feet")), "West with a margin of 2.0 ft");
  assert.equal(plain(circlesArea(40468.564224, "feet")), "10.00 acres"); // the international acre is 4046.8564224 m²
  assert.equal(plain(circlesArea(40468.564224, "metres")), "4.05 ha");
});
