// Predicts tides with a general-purpose library, for the Go test of geo/tide to compare with.
// Reads {constituents: [{name, amplitude, phase}], offset, spans: [{start, end}]} as JSON from stdin; prints JSON:
// {speeds: {name: degrees an hour}, spans: [{hourly: [metres], extremes: [{at, level, high}]}]}.
// Node corrections are Schureman's, as in geo/tide.

import { readFileSync } from "node:fs";
import { createTidePredictor, constituents as known } from "@neaps/tide-predictor";

/** @type {{constituents: {name: string, amplitude: number, phase: number}[], offset: number, spans: {start: string, end: string}[]}} */
const asked = JSON.parse(readFileSync(0, "utf8"));
const predictor = createTidePredictor(asked.constituents, { offset: asked.offset, nodeCorrections: "schureman" });

const speeds = Object.fromEntries(asked.constituents.map((c) => [c.name, known[c.name].speed]));
const spans = asked.spans.map((span) => {
  const between = { start: new Date(span.start), end: new Date(span.end) };
  return {
    hourly: predictor.getTimelinePrediction({ ...between, timeFidelity: 3600 }).map((point) => point.level),
    extremes: predictor.getExtremesPrediction(between).map((e) => ({ at: e.time, level: e.level, high: e.high })),
  };
});
console.log(JSON.stringify({ speeds, spans }));
