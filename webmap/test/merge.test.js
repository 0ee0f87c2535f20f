import test from "node:test";
import assert from "node:assert/strict";
import { leavesOf, merge, sameValue, valueAt } from "../js/core/merge.js";
import { settable } from "../js/sheet/recordform.js";

const base = () => ({
  number: "217",
  note: "",
  boat: { name: "Wren", loa_m: 9.5, draft_m: 1.6 },
  permit: { year: 2025, expires: "2026-03-31" },
  tackle: [
    { kind: "anchor", weight_kg: 500 },
    { kind: "ground_chain", inspected: "2024-05-01" },
  ],
});
const mine = (/** @type {Record<string, any>} */ set) => new Map(Object.entries(set));

test("what only one of two has changed holds, and is told with what it was", () => {
  const theirs = base();
  theirs.permit.year = 2026;
  const merged = merge(base(), mine({ "boat.loa_m": 10 }), theirs);
  assert.deepEqual(merged, { clashes: [], theirs: [{ path: "permit.year", before: 2025, after: 2026 }], near: false, shifted: false });
});

test("what both have changed differently has to be chosen; the same change by both is none", () => {
  const theirs = base();
  theirs.boat.loa_m = 9.8;
  theirs.boat.draft_m = 1.7;
  const merged = merge(base(), mine({ "boat.loa_m": 10, "boat.draft_m": 1.7 }), theirs);
  assert.deepEqual(merged.clashes, [{ path: "boat.loa_m", mine: 10, theirs: 9.8 }]);
  assert.deepEqual(merged.theirs, []);
});

test("a change beside mine, in the same group, is merged but looked at first", () => {
  const theirs = base();
  theirs.boat.name = "Heron";
  assert.equal(merge(base(), mine({ "boat.draft_m": 1.8 }), theirs).near, true);
  assert.equal(merge(base(), mine({ note: "x" }), theirs).near, false);
});

test("where the parts of the tackle have moved, what was typed for the second is no longer sure to mean it", () => {
  const theirs = base();
  theirs.tackle.splice(1, 0, { kind: "swivel", inspected: "2024-05-01" });
  const merged = merge(base(), mine({ "tackle[2].inspected": "2026-05-01" }), theirs);
  assert.equal(merged.shifted, true);
  assert.deepEqual(merged.clashes, [{ path: "tackle[2].inspected", mine: "2026-05-01", theirs: "2024-05-01" }]);
});

test("a whole tackle against another's change of it is one choice, and what it holds is not told besides", () => {
  const theirs = base();
  theirs.tackle[1].inspected = "2026-05-01";
  theirs.note = "seen";
  const list = [base().tackle[1], base().tackle[0]];
  const merged = merge(base(), mine({ tackle: list }), theirs);
  assert.deepEqual(merged.clashes, [{ path: "tackle", mine: list, theirs: theirs.tackle }]);
  assert.deepEqual(
    merged.theirs.map(({ path }) => path),
    ["note"],
  );
  // Where they left the tackle alone there is nothing to choose.
  assert.deepEqual(merge(base(), mine({ tackle: list }), { ...base(), note: "seen" }).clashes, []);
});

test("a boat that has left clashes with what was typed of her", () => {
  const theirs = { ...base(), boat: null };
  assert.deepEqual(merge(base(), mine({ "boat.draft_m": 1.8 }), theirs).clashes, [{ path: "boat.draft_m", mine: 1.8, theirs: undefined }]);
});

/** All ways in which two set or do not set two fields: nothing of either is ever lost without a word. */
test("whatever two do, each change is sent, told or put to the choice", () => {
  const values = [undefined, "", "a", "b"];
  for (const m of values)
    for (const t of values) {
      const was = { note: "was", other: "o" };
      const theirs = { ...was, ...(t !== undefined && { note: t }) };
      const set = mine(m === undefined ? {} : { note: m });
      const { clashes, theirs: told } = merge(was, set, theirs);
      const both = m !== undefined && t !== undefined && m !== t;
      assert.equal(clashes.length, both ? 1 : 0, `${m} and ${t}`);
      assert.equal(told.length, m === undefined && t !== undefined ? 1 : 0, `${m} and ${t}`);
    }
});

test("fields are found by their paths, counted from 1", () => {
  assert.equal(valueAt(base(), "tackle[2].inspected"), "2024-05-01");
  assert.equal(valueAt(base(), "boat.loa_m"), 9.5);
  assert.equal(valueAt(base(), "tackle[7].kind"), undefined);
  assert.equal(valueAt({ boat: null }, "boat.name"), undefined);
  assert.deepEqual(
    [...leavesOf({ a: { b: 1 }, c: [{ d: 2 }, { d: 3 }], areas: ["x", "y"] })],
    [
      ["a.b", 1],
      ["c[1].d", 2],
      ["c[2].d", 3],
      ["areas", ["x", "y"]],
    ],
  );
  assert.ok(sameValue("", null) && sameValue(undefined, "") && sameValue([1], [1]) && !sameValue(0, ""));
});

test("who may set a field is read as the service means it", () => {
  const crew = ["position", "depth_m", "note", "tackle[].left"];
  for (const [path, want] of /** @type {[string, boolean][]} */ ([
    ["note", true],
    ["notes", false],
    ["tackle[3].left", true],
    ["tackle[3].left_m", false],
    ["tackle[3].kind", false],
    ["position.lat_deg", true],
    ["boat.name", false],
  ]))
    assert.equal(settable(crew, path), want, path);
  assert.ok(
    settable(["boat."], "boat.name") &&
      !settable(["boat."], "boat") &&
      settable([""], "anything") &&
      settable(["tackle"], "tackle[1].kind") &&
      !settable([], "note") &&
      !settable(null, "note"),
  );
});
