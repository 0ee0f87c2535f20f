import assert from "node:assert/strict";
import test from "node:test";
import { againstWords, constraintName, outcomeTitle, spareFigure, verdictFigure, wayTitle, wayWords } from "../js/fitwords.js";

const verdict = (more) => ({ constraint: "neighbour", name: "302", fits: true, have: 12.192, need: 0.9144, spare: 11.2776, most: false, unit: "m", words: "", ...more });

test("a verdict names what it is about", () => {
  assert.equal(constraintName(verdict()), "Beside 302");
  assert.equal(constraintName(verdict({ constraint: "strength", name: "top_chain" })), "Strength of top chain");
  assert.equal(constraintName(verdict({ constraint: "anchor", name: "mushroom" })), "Anchor (mushroom)");
  assert.equal(constraintName(verdict({ constraint: "shoal", name: "" })), "Water under the keel");
  assert.equal(constraintName(verdict({ constraint: "of_another_kind", name: "" })), "of another kind");
});

test("its figures are in the units of who reads it", () => {
  assert.match(againstWords(verdict(), "feet"), /^40\.0\sft, at least 3\.0\sft$/);
  assert.match(againstWords(verdict({ most: true }), "metres"), /^12\.2\sm, at most 0\.91\sm$/);
  assert.match(againstWords(verdict({ lying: "in_unison" }), "metres"), /by the hulls$/);
  assert.equal(againstWords(verdict({ have: null }), "feet"), "");
  assert.match(spareFigure(verdict({ spare: -1.5 }), "metres"), /^[−-]1\.5\sm$/);
  assert.match(spareFigure(verdict({ spare: -100, unit: "N" }), "metres"), /^−100\sN$/);
  assert.equal(spareFigure(verdict({ spare: null }), "metres"), "");
  assert.match(verdictFigure(136.0777, "kg", "feet"), /^300\slb$/);
});

test("every outcome and every way has words", () => {
  for (const outcome of ["fits", "fits_if", "does_not_fit", "cannot_be_said"]) assert.ok(outcomeTitle(outcome).length > 5);
  for (const kind of ["other_tackle", "other_rode", "other_place", "neighbour_rode", "swap", "ring", "neighbour_moved", "neighbour_exchange", "anchor_moved"]) assert.ok(!wayTitle(kind).includes("_"));
});

test("a way out is told in one unit", () => {
  const words = "a rode of 31.7 m (104 ft) in place of 34.1 m (112 ft), 503 m away, with a mushroom of 136 kg (300 lb) and a new pennant of 19 mm (0.75 in)";
  assert.equal(wayWords(words, "metres"), "a rode of 31.7 m in place of 34.1 m, 503 m away, with a mushroom of 136 kg and a new pennant of 19 mm");
  assert.match(wayWords(words, "feet"), /^a rode of 104 ft in place of 112 ft, 1650\sft away, with a mushroom of 300 lb and a new pennant of 0\.75 in$/);
});
