import assert from "node:assert/strict";
import test from "node:test";
import { constraintName, outcomeTitle, spareFigure, verdictFigure, remedyLabel, remedyTitle } from "../js/words/fit.js";
import { conflictsOf, hazardsOf, verdictWords } from "../js/questions/verdicts.js";

const verdict = (more) => ({
  constraint: "neighbour",
  kind: "conflict",
  of: "302",
  fits: true,
  has: 12.192,
  needs: 0.9144,
  spare: 11.2776,
  most: false,
  unit: "m",
  reason: "keeps_apart",
  bound: false,
  missing: [],
  at: { lat_deg: 44, lon_deg: -68 },
  working: [],
  words: { feet: "keeps clear of 302: 40 ft between the swing circles", metres: "keeps clear of 302: 12.2 m between the swing circles" },
  ...more,
});

test("a verdict names what it is about", () => {
  assert.equal(constraintName(verdict()), "Beside 302");
  assert.equal(constraintName(verdict({ constraint: "strength", of: "top_chain" })), "Strength of top chain");
  assert.equal(constraintName(verdict({ constraint: "strength", of: "" })), "Strength of the tackle");
  assert.equal(constraintName(verdict({ constraint: "anchor", of: "mushroom" })), "Anchor (mushroom)");
  assert.equal(constraintName(verdict({ constraint: "shoal", of: "" })), "Water under the keel");
  assert.equal(constraintName(verdict({ constraint: "record", of: "depth_m" })), "Record");
  assert.equal(constraintName(verdict({ constraint: "of_another_kind", of: "" })), "of another kind");
});

test("its sentence is the service's own, and only a no that may be explained has a word for it", () => {
  assert.equal(verdictWords(verdict(), "feet"), "Keeps clear of 302: 40 ft between the swing circles");
  assert.equal(
    verdictWords(verdict({ fits: false, certainty: "possible" }), "metres"),
    "Keeps clear of 302: 12.2 m between the swing circles · possible",
  );
  assert.equal(
    verdictWords(verdict({ fits: false, certainty: "certain" }), "metres"),
    "Keeps clear of 302: 12.2 m between the swing circles",
  );
  const named = "International 8 m lies on 302";
  assert.equal(verdictWords(verdict({ words: { feet: named, metres: named } }), "feet"), named);
});

test("its figures are in the units of who reads it", () => {
  assert.match(spareFigure(verdict({ spare: -1.5 }), "metres"), /^[−-]1\.5\sm$/);
  assert.match(spareFigure(verdict({ spare: -100, unit: "N" }), "metres"), /^−100\sN$/);
  assert.equal(spareFigure(verdict({ spare: null }), "metres"), "");
  assert.match(verdictFigure(136.0777, "kg", "feet"), /^300\slb$/);
});

test("every outcome and every way has words", () => {
  assert.equal(outcomeTitle("fits", "on mooring 7"), "The boat fits on mooring 7");
  assert.equal(outcomeTitle("fits_if", "there"), "The boat does not fit there");
  assert.equal(outcomeTitle("does_not_fit", "on mooring 7"), "The boat does not fit on mooring 7");
  assert.equal(outcomeTitle("cannot_be_said", "on mooring 7"), "Cannot be said for mooring 7");
  for (const kind of [
    "other_tackle",
    "other_rode",
    "other_place",
    "neighbour_rode",
    "swap",
    "ring",
    "neighbour_moved",
    "neighbour_exchange",
    "anchor_moved",
  ]) {
    assert.ok(!remedyTitle(kind).includes("_"));
    assert.notEqual(remedyLabel({ kind, mooring: "7" }), remedyLabel({ kind: "another", mooring: "7" }), kind);
  }
});

test("the map draws what a fit check finds, and nothing that is kept or cannot be said", () => {
  const fit = {
    mooring: "7",
    verdicts: [
      verdict(),
      verdict({ of: "8", fits: false, certainty: "certain", reason: "overlaps", has: -2, spare: -3 }),
      verdict({ of: "9", fits: null, certainty: "possible", reason: "overlaps", has: -1, bound: true }),
      verdict({ of: "10", fits: false, certainty: "certain", reason: "inside_margin", has: 0.5 }),
      verdict({ of: "11", fits: null, certainty: "possible", reason: "may_reach", at: null }),
      verdict({
        constraint: "fairway",
        kind: "hazard",
        of: "Channel",
        fits: false,
        certainty: "certain",
        reason: "inside_setback",
        has: 1,
        needs: 3,
        spare: -2,
      }),
      verdict({ constraint: "shore", kind: "hazard", of: "", reason: "keeps_off" }),
    ],
  };
  assert.deepEqual(
    conflictsOf(fit).map(({ b, state, overlap_m }) => [b, state, overlap_m]),
    [
      ["8", "touching", 2],
      ["9", "may_touch", 1],
      ["10", "tight", -0.5],
    ],
  );
  assert.deepEqual(
    hazardsOf(fit).map(({ kind, by_m, needs_m }) => [kind, by_m, needs_m]),
    [["fairway", 2, 3]],
  );
});
