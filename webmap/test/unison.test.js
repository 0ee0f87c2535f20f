import test from "node:test";
import assert from "node:assert/strict";
import { decidesWords, designWords, hullsShort, hullsWords, levelIn, weatherShort, weatherWords } from "../js/words/unison.js";
import { fieldsInWords, wanted } from "../js/words/names.js";

const KNOT = 1852 / 3600;
const plain = (text) => text.replaceAll("\u00a0", " ").replaceAll("\u2212", "-");
const weather = (from, kn, to, stream) => ({
  wind_from_deg: from,
  wind_ms: kn * KNOT,
  gust: 1.3,
  stream_to_deg: to,
  stream_ms: stream * KNOT,
  level_m: 0,
});

test("a stream is called by how it sets to the wind, across north too", () => {
  for (const [w, want] of [
    [weather(196, 7, 200, 1.2), "in a wind from 196° at 7 kn against a stream of 1.2 kn"],
    [weather(355, 7, 20, 1.2), "in a wind from 355° at 7 kn against a stream of 1.2 kn"],
    [weather(20, 21, 200, 1.24), "in a wind from 020° at 21 kn with a stream of 1.2 kn"],
    [weather(110, 42, 200, 1.2), "in a wind from 110° at 42 kn across a stream of 1.2 kn to 200°"],
    [weather(290, 42, 20, 1.2), "in a wind from 290° at 42 kn across a stream of 1.2 kn to 020°"],
    [weather(196, 7, 0, 0), "in a wind from 196° at 7 kn"],
    [weather(0, 0, 200, 1.2), "in no wind and a stream of 1.2 kn to 200°"],
    [weather(0, 0, 0, 0), "in no wind and no stream"],
  ])
    assert.equal(plain(weatherWords(w)), want);
  assert.equal(plain(weatherShort(weather(201, 7, 200, 1.2))), "wind 201° 7 kn, stream 1.2 kn");
  assert.equal(plain(weatherShort(weather(201, 0, 200, 1.2))), "no wind, stream 1.2 kn");
  assert.equal(plain(weatherShort(weather(201, 7, 200, 0))), "wind 201° 7 kn");
});

test("hulls that overlap, come close, or are not known", () => {
  const unison = (gap_m, why = "") => ({
    gap_m,
    why: { feet: why, metres: why },
    weather: gap_m === null ? null : weather(196, 7, 200, 1.2),
  });
  assert.equal(plain(hullsWords(unison(1.4), "metres")), "hulls come to 1.4 m in a wind from 196° at 7 kn against a stream of 1.2 kn");
  assert.equal(plain(hullsWords(unison(-1.7), "feet")), "hulls overlap 5.6 ft in a wind from 196° at 7 kn against a stream of 1.2 kn");
  assert.equal(
    plain(hullsWords(unison(null, "the beam of 12 is not on record"), "metres")),
    "hulls unknown: the beam of 12 is not on record",
  );
  assert.equal(
    plain(hullsWords({ ...unison(1.4), unsettled_a: false, unsettled_b: true }, "metres")),
    "hulls come to 1.4 m in a wind from 196° at 7 kn against a stream of 1.2 kn (they do not hold one of the boats: it may lie any way)",
  );
  const conflict = (overlap_m) => ({ overlap_m, unison: unison(-overlap_m) });
  assert.equal(plain(hullsShort(conflict(1.7), "metres")), "hulls overlap 1.7 m, wind 196° 7 kn, stream 1.2 kn");
  assert.equal(plain(hullsShort(conflict(-0.45), "metres")), "hulls 0.45 m apart, wind 196° 7 kn, stream 1.2 kn");
});

test("which way of lying decides, and what is assumed of the design", () => {
  assert.match(decidesWords("North Roads", "in_unison"), /^In North Roads the hulls decide/);
  assert.match(decidesWords("", "independent"), /^Here the circles decide/);
  assert.match(decidesWords("", undefined), /^Here the circles decide/);
  const all = plain(designWords({ wind_ms: 30 * KNOT, gust: 1.4, scatter_deg: 15, stream_ms: 1.2 * KNOT, stream_deg: 20 }));
  assert.match(all, /up to 30 kn, gusts 1.4 times as strong, a stream of up to 1.2 kn to 020° and back, each boat within 15°/);
  assert.doesNotMatch(all, /assumed/);
  assert.match(
    plain(designWords(undefined)),
    /up to 42 kn \(assumed\), gusts 1.3 times as strong \(assumed\), no stream, each boat within 20° \(assumed\)/,
  );
});

test("a design level is called by its name", () => {
  const levels = { datum: "", low_m: -0.3048, high_m: 3.5052 };
  assert.equal(levelIn(-0.3048, levels, "metres"), "at low water");
  assert.equal(levelIn(3.505, levels, "metres"), "at high water");
  assert.equal(plain(levelIn(1.6, levels, "feet")), "at a level of 5.2 ft");
  assert.equal(plain(levelIn(1.6, null, "metres")), "at a level of 1.6 m");
});

test("a field is never called by its column", () => {
  assert.equal(fieldsInWords("mooring 7: ground_chain_size_m is not on record"), "mooring 7: the ground chain's size is not on record");
  assert.equal(fieldsInWords("missing: beam_m, odd_thing_m"), "missing: the boat's beam, odd thing");
  assert.equal(fieldsInWords("the rode of 24.1 m"), "the rode of 24.1 m");
  assert.equal(wanted(["marker_line_m", "tackle"]), "Missing: the winter marker's line, the parts of the tackle.");
});
