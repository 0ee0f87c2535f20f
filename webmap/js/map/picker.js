// Picker: lets somebody pick a place on the map, by finger, mouse or keyboard.
/** @import { Position } from "../core/types" */
import { byId } from "../core/dom.js";

/** @param {() => void} makeRoom shows the map on a phone */
export function createPicker(makeRoom) {
  const bar = byId("pickbar");
  /** @type {((at: Position | null) => void) | null} */
  let settle = null;

  /** @param {Position | null} at @returns {boolean} whether somebody was waiting for it */
  function picked(at) {
    if (!settle) return false;
    const done = settle;
    settle = null;
    bar.hidden = true;
    document.documentElement.classList.remove("picking");
    done(at);
    return true;
  }
  byId("pick-cancel").addEventListener("click", () => picked(null));

  return {
    picked,
    /** @returns {Promise<Position | null>} */
    pick() {
      picked(null);
      bar.hidden = false;
      document.documentElement.classList.add("picking");
      makeRoom();
      byId("map").focus({ preventScroll: true });
      return new Promise((resolve) => {
        settle = resolve;
      });
    },
  };
}
