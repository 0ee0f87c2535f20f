// Animation: a shift of wind or a tide, fetched once and played on the map.
/** @import { Asked, Laid, LiesTo, Page, Reel } from "../core/types" */
import { ask, harborPath } from "../core/api.js";
import { pointOf } from "../core/compass.js";
import { around, blend, closest, gapsAt, reelOf, stateOfGap, weatherAt } from "../map/frames.js";
import { setLooks, fleetOf } from "../map/lyinghulls.js";
import { bearing, signed } from "../words/units.js";
import { player } from "./player.js";
import { clock } from "./tide.js";
import { gapsTitle, weatherAnswer, playedRows } from "./weatheranswer.js";
import { KNOT_MS, queryOf, waterWords } from "./weatherquery.js";

/**
 * What an animation is given; `away`: somebody has had enough of it.
 * @typedef {{
 *   asked(): Asked, lay(laid: Laid): void, swing(): void, corner(to: LiesTo): void, write(make: () => Node[]): void,
 *   refuse(fault: Error): void, away(): void,
 * }} Given
 */

/** @param {Page} page @param {Given} callbacks */
export function animation(page, callbacks) {
  const { data } = page;
  const bar = player({ moved, words, away: callbacks.away });
  /** @type {Reel | null} */
  let reel = null;
  /** @type {Laid | null} */
  let laid = null;
  let fetching = new AbortController();

  /** @param {"shift" | "tide"} play @param {HTMLElement} pressed says meanwhile that it is under way */
  async function start(play, pressed) {
    const was = pressed.textContent;
    fetching.abort();
    fetching = new AbortController();
    const { signal } = fetching;
    pressed.textContent = "Working it out …";
    try {
      const came = reelOf(await ask(harborPath(data.info.slug, "swinging"), { play, ...queryOf(callbacks.asked()) }, signal));
      if (!signal.aborted) begin(came);
    } catch (fault) {
      if (!signal.aborted) callbacks.refuse(/** @type {Error} */ (fault));
    } finally {
      pressed.textContent = was;
    }
  }

  /** @param {Reel} came */
  function begin(came) {
    const fleet = fleetOf(
      data,
      came.numbers.map((number, n) => ({ number, length_m: came.length_m[n], beam_m: came.beam_m[n] })),
    );
    // A boat that the page has not been told of yet would shift all rows after its own.
    if (fleet.numbers.length !== came.numbers.length) throw new Error("The harbor has just changed. Play it again.");
    reel = came;
    laid = { fleet, gaps: [], unlaid: new Set(came.unknown.map((each) => each.mooring)) };
    const pairs = closest(came);
    const title = gapsTitle(pairs.length, came.numbers.length, came.unknown.length, " on the way");
    callbacks.lay(laid);
    callbacks.write(() =>
      weatherAnswer(page, {
        title,
        words: came.words,
        laid: came.numbers.length,
        unknown: came.unknown,
        rows: playedRows(
          came,
          pairs,
          (frame) => words(came, frame),
          (gap) => stateOf(came, gap),
          (frame, a, b) => {
            bar.seek(frame);
            page.open(a, { with: b });
          },
        ),
      }),
    );
    bar.start(came);
    page.say(`Playing. ${title}.`);
  }

  /** Where the play is, in words. @param {Reel} of @param {number} moment */
  function words(of, moment) {
    const w = weatherAt(of, moment);
    const units = page.units();
    if (w.at === null) return `from ${bearing(w.wind_from_deg)}, ${pointOf(w.wind_from_deg)}`;
    return `${clock(w.at)} · ${signed(w.level_m, units)}, ${w.rising ? "rising" : "falling"}`;
  }

  /** @param {Reel} of @param {{i: number, j: number, gap_m: number}} gap */
  function stateOf(of, { i, j, gap_m }) {
    const accuracy = (/** @type {number} */ n) => data.byNumber.get(of.numbers[n])?.accuracy_m ?? null;
    return stateOfGap(gap_m, accuracy(i), accuracy(j));
  }

  /** @param {Reel} of @param {number} moment @param {boolean} settled */
  function moved(of, moment, settled) {
    if (!laid) return;
    const { from, to, share } = around(of, moment);
    const before = laid.gaps.length;
    blend(laid.fleet.lies, of.lies[from], of.lies[to], share);
    laid.gaps = gapsAt(of, moment).map((gap) => ({ ...gap, state: stateOf(of, gap) }));
    if (before || laid.gaps.length) setLooks(laid.fleet, laid.gaps);
    if (settled) corner(of, moment);
    callbacks.swing();
  }

  /** @param {Reel} of @param {number} moment */
  function corner(of, moment) {
    const w = weatherAt(of, moment);
    const asked = callbacks.asked();
    callbacks.corner({
      ...asked,
      wind_from_deg: w.wind_from_deg,
      stream_to_deg: w.stream_to_deg,
      stream_kn: w.stream_ms / KNOT_MS,
      level: w.at === null ? waterWords(asked.water, w.level_m, data.info, page.units()) : words(of, moment),
    });
  }

  function stop() {
    fetching.abort();
    bar.stop();
    reel = laid = null;
  }

  return {
    start,
    stop,
    is: () => reel !== null,
    /** Writes the same moment again, in other units. */
    render() {
      if (reel) bar.render();
    },
  };
}
