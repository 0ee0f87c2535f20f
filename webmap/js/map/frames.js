// Frames: the states of a field that swings, packed, and what lies between two of them.
/** @import { GapShown, Reel, Swinging } from "../core/types" */
import { between, roundTheCompass, turn } from "../core/compass.js";

/** Of each boat: reach in metres, direction from anchor to bow, direction from bow to stern. */
export const ROW = 3;

/** @param {Swinging} answer @returns {Reel} */
export function reelOf(answer) {
  return {
    play: answer.play,
    numbers: answer.moorings,
    length_m: answer.length_m,
    beam_m: answer.beam_m,
    unknown: answer.unknown ?? [],
    words: answer.words,
    weather: answer.frames.map((each) => each.weather),
    at: answer.frames.map((each) => (each.at === null ? null : Date.parse(each.at))),
    lies: answer.frames.map((each) => Float32Array.from((each.lies ?? []).flat())),
    gaps: answer.frames.map((each) => each.gaps ?? []),
    // A shift ends where it began; a tide does not.
    last: answer.play === "shift" ? answer.frames.length : answer.frames.length - 1,
  };
}

/** The frame at or before a moment, and the one after it. @param {Reel} reel @param {number} moment in frames */
export function around(reel, moment) {
  const all = reel.lies.length;
  const held = Math.min(Math.max(moment, 0), reel.last);
  const from = Math.floor(held) % all;
  return { from, to: reel.play === "shift" ? (from + 1) % all : Math.min(from + 1, all - 1), share: held - Math.floor(held) };
}

/**
 * How all boats lie between two frames, the short way round.
 * @param {Float64Array} out @param {ArrayLike<number>} a @param {ArrayLike<number>} b @param {number} share 0 to 1
 */
export function blend(out, a, b, share) {
  for (let n = 0; n < out.length; n += ROW) {
    out[n] = a[n] + (b[n] - a[n]) * share;
    out[n + 1] = a[n + 1] + turn(a[n + 1], b[n + 1]) * share;
    out[n + 2] = a[n + 2] + turn(a[n + 2], b[n + 2]) * share;
  }
}

/** The weather between two frames. @param {Reel} reel @param {number} moment */
export function weatherAt(reel, moment) {
  const { from, to, share } = around(reel, moment);
  const a = reel.weather[from];
  const b = reel.weather[to];
  const mix = (/** @type {number} */ x, /** @type {number} */ y) => x + (y - x) * share;
  // A stream that turns does so at slack water; it does not sweep round the compass.
  const turns = Math.abs(turn(a.stream_to_deg, b.stream_to_deg)) > 90;
  const signed = turns ? mix(a.stream_ms, -b.stream_ms) : mix(a.stream_ms, b.stream_ms);
  return {
    wind_from_deg: between(a.wind_from_deg, b.wind_from_deg, share),
    wind_ms: mix(a.wind_ms, b.wind_ms),
    gust: mix(a.gust, b.gust),
    stream_to_deg: turns
      ? roundTheCompass(signed < 0 ? b.stream_to_deg : a.stream_to_deg)
      : between(a.stream_to_deg, b.stream_to_deg, share),
    stream_ms: Math.abs(signed),
    level_m: mix(a.level_m, b.level_m),
    rising: b.level_m > a.level_m,
    at: reel.at[from] === null || reel.at[to] === null ? null : mix(Number(reel.at[from]), Number(reel.at[to])),
  };
}

/**
 * The gaps under the margin at a moment: those of the nearer frame, eased towards the other where it has the same pair.
 * @param {Reel} reel @param {number} moment @returns {{i: number, j: number, gap_m: number}[]}
 */
export function gapsAt(reel, moment) {
  const { from, to, share } = around(reel, moment);
  const [near, far, away] = share < 0.5 ? [from, to, share] : [to, from, 1 - share];
  return reel.gaps[near].map(([i, j, gap_m]) => {
    const other = reel.gaps[far].find((each) => each[0] === i && each[1] === j);
    return { i, j, gap_m: other ? gap_m + (other[2] - gap_m) * away : gap_m };
  });
}

/** Of each pair that ever comes under the margin, when it comes closest; the closest first. @param {Reel} reel */
export function closest(reel) {
  /** @type {Map<string, {i: number, j: number, gap_m: number, frame: number}>} */
  const pairs = new Map();
  reel.gaps.forEach((gaps, frame) => {
    for (const [i, j, gap_m] of gaps) {
      const key = i + " " + j;
      const before = pairs.get(key);
      if (!before || gap_m < before.gap_m) pairs.set(key, { i, j, gap_m, frame });
    }
  });
  return [...pairs.values()].sort((a, b) => a.gap_m - b.gap_m);
}

/**
 * What a gap is called when the service told only its metres: as for circles, by the accuracy of the two positions.
 * @param {number} gap_m
 * @param {number | null} a_m accuracy of one position
 * @param {number | null} b_m of the other
 * @returns {GapShown["state"]}
 */
export function stateOfGap(gap_m, a_m, b_m) {
  const accuracy = Math.hypot(a_m ?? 0, b_m ?? 0);
  if (-gap_m > accuracy) return "touching";
  return gap_m > accuracy ? "tight" : "may_touch";
}
