import test from "node:test";
import assert from "node:assert/strict";
import { format, parse, plainSlug, slugOn } from "../js/core/address.js";
import { newsWords } from "../js/words/news.js";
import { readTyped, shownText } from "../js/controls/quantity.js";
import { fieldWords, groupsOf, sideWords, valueWords } from "../js/words/record.js";
import { pauseMs } from "../js/people/eventstream.js";
import { dayWords, whenWords } from "../js/words/times.js";

const plain = (/** @type {string} */ text) => text.replaceAll("\u00a0", " ");

test("fields and their values are told in words and in the units of who reads", () => {
  // 9.5 m are 31.17 ft and 16 mm nearly 5/8 in: from 0.3048 m and 25.4 mm (US Federal Register 24 FR 5348).
  for (const [path, value, label, metres, feet] of /** @type {[string, any, string, string, string][]} */ ([
    ["boat.loa_m", 9.5, "Boat's length overall", "9.5 m", "31.17 ft"],
    ["tackle[2].size_m", 0.016, "Tackle 2, diameter", "16 mm", "5/8 in"],
    ["tackle[1].weight_kg", 500, "Tackle 1, weight in air", "500 kg", "1102 lb"],
    ["tackle[2].left", 0.85, "Tackle 2, size left", "85 %", "85 %"],
    ["tackle[2].inspected", "2026-05-01", "Tackle 2, inspected on", "1 May 2026", "1 May 2026"],
    ["permit.year", 2026, "Permit's year", "2026", "2026"],
    ["permit.year", 0, "Permit's year", "not on record", "not on record"],
    ["depth_m", null, "Depth below datum", "not on record", "not on record"],
    ["boat.owner", "N. N.", "Owner", "N. N.", "N. N."],
    ["largest_loa_m", 12, "Longest boat", "12.0 m", "39.37 ft"],
  ])) {
    assert.equal(fieldWords("mooring", path), label);
    assert.equal(plain(valueWords("mooring", path, value, "metres")), metres, path);
    assert.equal(plain(valueWords("mooring", path, value, "feet")), feet, path);
  }
  assert.equal(sideWords("mooring", "note", "", "metres"), "not on record");
  assert.equal(sideWords("mooring", "note", '"<b>"', "metres"), "<b>");
  assert.equal(sideWords("owner", "resident", "true", "metres"), "yes");
  assert.equal(fieldWords("owner", "phone"), "Phone");
});

test("what is typed is read in its unit, and what was only shown reads back as nothing else", () => {
  for (const [kind, typed, units, want] of /** @type {[any, string, any, any][]} */ ([
    ["length", "32 ft", "metres", 9.7536],
    ["length", "32", "feet", 9.7536],
    ["length", "9,8", "metres", 9.8],
    ["length", "", "metres", null],
    ["size", "5/8", "feet", 0.015875],
    ["size", "1 1/2 in", "metres", 0.0381],
    ["size", "16", "metres", 0.016],
    ["size", '3/4"', "metres", 0.01905],
    ["weight", "500", "metres", 500],
    ["weight", "100 lb", "metres", 45.359],
    ["weight", "1.5 t", "feet", 1500],
    ["share", "85", "feet", 0.85],
    ["share", "85 %", "metres", 0.85],
    ["year", "2026", "metres", 2026],
    ["year", "", "metres", 0],
    ["resident", "no", "metres", false],
    ["resident", "", "metres", null],
    ["names", "West, East ,", "metres", ["West", "East"]],
    ["date", "2026-05-01", "metres", "2026-05-01"],
  ]))
    assert.deepEqual(readTyped(kind, typed, units), { value: want }, `${kind} ${typed}`);
  for (const [kind, typed] of /** @type {[any, string][]} */ ([
    ["length", "long"],
    ["size", "thick"],
    ["size", "5 ft"],
    ["weight", "heavy"],
    ["share", "all"],
    ["year", "26"],
    ["date", "May"],
  ])) {
    assert.ok("want" in readTyped(kind, typed, "metres"), `${kind} ${typed}`);
  }
  assert.equal(shownText("length", 9.7536, "feet"), "32.0");
  assert.equal(shownText("size", 0.016, "metres"), "16");
  assert.equal(shownText("share", 0.85, "feet"), "85");
});

test("a mooring's record is changed in groups, its tackle part by part; a vacant one has no boat to change", () => {
  const record = { boat: { name: "Wren" }, tackle: [{ kind: "anchor" }, { kind: "ground_chain" }] };
  assert.deepEqual(
    groupsOf("mooring", record).map(({ name }) => name),
    ["boat", "owner", "permit", "tackle[1]", "tackle[2]", "place", "note"],
  );
  assert.deepEqual(
    groupsOf("mooring", { ...record, boat: null, tackle: null }).map(({ name }) => name),
    ["permit", "place", "note"],
  );
});

test("moments are told with their zone, days without", () => {
  assert.equal(whenWords("2026-11-26T13:05:00Z", "Europe/Berlin"), "26 November 2026, 14:05 CET");
  assert.equal(whenWords("2026-07-01T23:30:00Z", "Pacific/Auckland"), "2 July 2026, 11:30 GMT+12");
  assert.equal(dayWords("2026-03-01"), "1 March 2026");
  assert.equal(dayWords("0000-99-99"), "0000-99-99");
});

test("what others change is told in one line, without who and why where they are kept back", () => {
  const news = (/** @type {any} */ changed, who = "N. N.", why = "worn") => newsWords({ revision: 2, at: "", who, why, changed });
  assert.equal(news([{ noun: "mooring", name: "217" }]), "Mooring 217 changed by N. N.: worn");
  assert.equal(news([{ noun: "mooring", name: "217" }], "", ""), "Mooring 217 changed");
  assert.equal(
    news(
      ["1", "2", "3", "4", "5"].map((name) => ({ noun: "mooring", name })),
      "",
      "",
    ),
    "Moorings 1, 2, 3 and 2 more changed",
  );
  assert.equal(
    news(
      [
        { noun: "mooring", name: "1" },
        { noun: "mooring", name: "2" },
        { noun: "note", name: "x" },
      ],
      "",
      "",
    ),
    "Moorings 1 and 2 changed",
  );
  assert.equal(news([{ noun: "owner", name: "M. M." }]), "The owner M. M. changed by N. N.: worn");
  assert.equal(news(null), "The harbor changed by N. N.: worn");
});

test("the line is taken up again after pauses that grow, never beyond a minute and a fifth", () => {
  const pauses = [0, 1, 2, 3, 6, 12].map((n) => pauseMs(n, 0.5));
  assert.deepEqual(pauses, [1000, 2000, 4000, 8000, 60000, 60000]);
  assert.deepEqual([pauseMs(0, 0), pauseMs(0, 1), pauseMs(9, 1)], [800, 1200, 72000]);
});

test("a past stands in the address, and in what the service is asked by", () => {
  const view = parse("#harbor=cove&on=2026-03-01&mooring=217");
  assert.equal(view.on, "2026-03-01");
  assert.match(format(view), /on=2026-03-01/);
  assert.equal(parse("#on=2026-03-01T12:30:00Z").on, "2026-03-01T12:30:00Z");
  for (const bad of ["yesterday", "2026-3-1", "2026-03-01/../x", "2026-03-01T12"]) assert.equal(parse("#on=" + bad).on, "", bad);
  assert.equal(slugOn("cove", "2026-03-01"), "cove@2026-03-01");
  assert.equal(slugOn("cove", ""), "cove");
  assert.equal(plainSlug("cove@2026-03-01"), "cove");
});
