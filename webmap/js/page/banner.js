// Banner: what could not be fetched, what is shown all the same, and a way to ask again.
import { byId, el, put } from "../core/dom.js";

/** @type {Record<string, string>} */
const PIECES = {
  moorings: "the moorings",
  check: "the troubles",
  areas: "the areas",
  fairways: "the fairways",
  shoreline: "the shoreline",
  depth_areas: "the water by depth",
  depth_lines: "the depth lines",
  soundings: "the soundings",
};

export function createBanner() {
  const box = byId("banner");
  return {
    clear() {
      box.hidden = true;
      put(box);
    },
    /** @param {string[]} pieces @param {string} why @param {() => void} again */
    missing(pieces, why, again) {
      show(`${why} Not on the map: ${pieces.map((each) => PIECES[each] ?? each).join(", ")}. The rest is there.`, again);
    },
    /** @param {string} why @param {Date} since @param {() => void} again */
    stale(why, since, again) {
      const time = since.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
      show(`${why} What is shown is from ${time}; what you typed is kept.`, again);
    },
  };

  /** @param {string} words @param {() => void} again */
  function show(words, again) {
    box.hidden = false;
    put(box, el("p", {}, words), el("button", { type: "button", click: again }, "Ask again"));
  }
}
