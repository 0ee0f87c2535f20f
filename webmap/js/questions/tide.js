// Tide line: where the water stands now and the next high or low water, in one quiet line beside the levels.
/** @import { Page, TideTable } from "../core/types" */
import { ask, harborPath, Refusal } from "../core/api.js";
import { byId, el, put } from "../core/dom.js";
import { length } from "../words/units.js";

/** The water moves by a decimetre or two in this time. */
const REFRESH_MS = 4 * 60 * 1000;
const NO_TIDE = 404;

/** "14:20", by the clock of whoever looks. @param {number} ms */
export function clock(ms) {
  return new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

/** @param {TideTable} tide @param {import("../core/types").Units} units */
export function tideWords(tide, units) {
  const next = tide.extremes.find((each) => Date.parse(each.at) > Date.parse(tide.from));
  const now = `now ${length(tide.level_m, units)}, ${tide.rising ? "rising" : "falling"}`;
  return next ? `${now}; ${next.high ? "high" : "low"} ${length(next.level_m, units)} at ${clock(Date.parse(next.at))}` : now;
}

/** @param {Page} page */
export function tideLine(page) {
  const { store, scene } = page;
  const line = byId("tide");
  let none = page.data.info.tide === false;
  let asking = false;

  function render() {
    const { tide } = scene.get();
    line.hidden = !tide;
    if (!tide) return;
    const words = tideWords(tide, page.units());
    const [now, next = ""] = words.split("; ");
    put(line, el("span", {}, now + (next && ";")), " ", el("span", {}, next));
    // Where the line is cut off the whole of it is still there.
    line.title = `${words}. ${tide.station}. ${tide.caution}`;
  }

  async function refresh() {
    if (document.hidden || none || asking) return;
    asking = true;
    /** @type {TideTable | null} Without an answer the last one is not shown as if it were of this moment. */
    let tide = null;
    try {
      tide = await ask(harborPath(page.data.info.slug, "tide"), { hours: 25 });
    } catch (fault) {
      none = fault instanceof Refusal && fault.status === NO_TIDE;
    }
    asking = false;
    scene.set({ tide });
  }
  setInterval(refresh, REFRESH_MS);
  document.addEventListener("visibilitychange", refresh);

  store.subscribe(["units"], render);
  scene.subscribe(["tide"], render);

  /** The harbor has come, or has changed: constants may be on record now. */
  return {
    anew() {
      none = page.data.info.tide === false;
      return refresh();
    },
  };
}
