import test from "node:test";
import assert from "node:assert/strict";
import { ringOf } from "../js/sheet/propose.js";

test("a way out is a ring in the order in which the boats go, the vacant mooring last", () => {
  const way = (/** @type {string} */ kind, /** @type {string} */ mooring, /** @type {string[]} */ ...numbers) => ({
    kind,
    words: "",
    mooring,
    moorings: numbers.map((number) => ({ number })),
  });
  assert.deepEqual(ringOf(way("swap", "105", "105", "104"), "104"), ["104", "105"]);
  assert.deepEqual(ringOf(way("other_place", "332", "332"), "301"), ["301", "332"]);
  // She to 105, the boat of 105 to 106, that of 106 to hers.
  assert.deepEqual(ringOf(way("ring", "105", "105", "106", "104"), "104"), ["104", "105", "106"]);
  assert.equal(ringOf(way("ring", "105", "105", "104"), "104"), null);
  assert.equal(ringOf(way("anchor_moved", "104", "104"), "104"), null);
});
