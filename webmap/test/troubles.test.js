import assert from "node:assert/strict";
import test from "node:test";
import { format, parse } from "../js/core/address.js";
import { kindOf, troublesOf } from "../js/controls/troubles.js";
import { lookOf } from "../js/core/data.js";
import { gapsTitle } from "../js/questions/weatheranswer.js";
import { clause, pairWords, stateWords } from "../js/words/names.js";

const plain = (text) => text.replaceAll("\u00a0", " ");
const finding = (mooring, kind, more = {}) => ({
  mooring,
  verdict: { constraint: "record", kind, fits: false, of: "", words: { feet: "", metres: "" }, ...more },
});

test("troubles are told by kind, of each the certain first and then the worst, and what cannot be said last", () => {
  const report = {
    conflicts: [
      { a: "1", b: "2", overlap_m: 3, certainty: "possible" },
      { a: "3", b: "4", overlap_m: 1, certainty: "certain" },
      { a: "5", b: "6", overlap_m: 2, certainty: "certain" },
    ],
    hazards: [{ mooring: "7", by_m: 9, certainty: "certain" }],
    troubles: [finding("8", "record"), finding("9", "tackle"), finding("10", "limit")],
    unknown: [finding("11", "hazard", { fits: null })],
  };
  const all = troublesOf(report);
  assert.deepEqual(all.map(kindOf), ["conflict", "conflict", "conflict", "hazard", "tackle", "limit", "record", "unsaid"]);
  assert.deepEqual(
    all.slice(0, 3).map(({ conflict }) => conflict.a),
    ["5", "3", "1"],
  );
});

test("the kinds that are listed stand in the address when they are others than at first", () => {
  assert.deepEqual(parse("").kinds, ["conflict", "hazard", "tackle", "limit", "record"]);
  assert.doesNotMatch(format(parse("")), /kinds/);
  for (const [hash, kinds] of [
    ["#kinds=hazard,unsaid", ["hazard", "unsaid"]],
    ["#kinds=none", []],
    ["#kinds=unsaid,conflict,nonsense", ["conflict", "unsaid"]],
  ])
    assert.deepEqual(parse(hash).kinds, kinds, hash);
  assert.match(format(parse("#kinds=unsaid,hazard")), /kinds=hazard,unsaid/);
  assert.deepEqual(parse(format(parse("#kinds=none"))).kinds, []);
});

test("a pair has one word for how near it comes and how sure that is", () => {
  for (const [state, certainty, want] of [
    ["touching", "certain", "touching"],
    ["touching", "possible", "may touch"],
    ["may_touch", "certain", "inside the margin, may touch"],
    ["may_touch", "possible", "may touch"],
    ["tight", "certain", "inside the margin"],
    ["tight", "possible", "may be inside the margin"],
  ])
    assert.equal(pairWords({ state, certainty }), want);
});

test("a sentence in a row begins with a capital and has no full stop; its figures and names stay as they are", () => {
  assert.equal(
    clause("swings 3.3 ft into the 25 ft kept clear beside the fairway Town Channel: 21.7 ft left."),
    "Swings 3.3 ft into the 25 ft kept clear beside the fairway Town Channel: 21.7 ft left",
  );
  assert.equal(clause("International 8 m touches 217"), "International 8 m touches 217");
});

test("clear never stands beside a trouble", () => {
  const buoy = (more) => {
    const p = {
      status: "occupied",
      radius_basis: "boat",
      radius_m: 20,
      radius_bound: false,
      hazards: [],
      troubles: [],
      unknown: [],
      state: "clear",
      ...more,
    };
    return { ...p, look: lookOf(p) };
  };
  assert.equal(stateWords(buoy({})), "clear");
  assert.equal(
    stateWords(buoy({ state: "trouble", hazards: ["fairway"], troubles: ["strength", "strength"] })),
    "trouble, too near a fairway, tackle too weak",
  );
  assert.equal(stateWords(buoy({ state: "unsaid", unknown: ["draft_m"] })), "not fully checked");
  assert.equal(stateWords(buoy({ state: "touching", hazards: ["shoal"] })), "touching, over shoal water");
  assert.equal(stateWords(buoy({ state: "trouble", status: "vacant", hazards: ["shore"] })), "trouble, vacant, too near the shore");
  assert.equal(stateWords(buoy({ state: "unsaid", radius_m: null })), "unknown");
});

test("where no hull could be laid nothing is said to be kept", () => {
  assert.equal(gapsTitle(0, 0, 42), "Nothing could be checked");
  assert.equal(gapsTitle(0, 40, 2), "All hulls that could be drawn keep their margin");
  assert.equal(gapsTitle(0, 42, 0), "All hulls keep their margin");
  assert.equal(plain(gapsTitle(2, 40, 2, " on the way")), "2 gaps under the margin on the way");
});
