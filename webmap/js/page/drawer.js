// Drawer: on a phone the questions and the sheet lie in a drawer at the bottom that rises to half and to full.
import { byId, onPhone, put } from "../core/dom.js";

/** @typedef {"peek" | "half" | "full"} Rise */

/** How far a finger has to go before it is a pull and no tap. */
const PULL_PX = 8;
/** @type {Rise[]} */
const RISES = ["peek", "half", "full"];
/** @type {Record<Rise, string>} */
const NEXT = { peek: "Raise to half", half: "Raise to full", full: "Lower" };

/**
 * @param {string} id of the drawer; its grip is the button inside it of class grip
 * @param {{min: Rise, moved(): void, away?(): void}} how `away` is called when it is pulled below its least height
 */
export function createDrawer(id, how) {
  const box = byId(id);
  const grip = /** @type {HTMLButtonElement} */ (box.querySelector(".grip"));
  /** @type {Rise} */
  let rise = how.min;

  /** @param {Rise} next */
  function set(next) {
    rise = next;
    box.dataset.rise = rise;
    grip.setAttribute("aria-label", NEXT[rise]);
    how.moved();
  }

  grip.addEventListener("click", () => {
    if (pulled) return;
    const at = RISES.indexOf(rise);
    set(RISES[at + 1] ?? how.min);
  });

  let from = 0;
  let height = 0;
  let pulled = false;
  grip.addEventListener("pointerdown", (event) => {
    from = event.clientY;
    height = box.getBoundingClientRect().height;
    pulled = false;
    grip.setPointerCapture(event.pointerId);
  });
  grip.addEventListener("pointermove", (event) => {
    if (!grip.hasPointerCapture(event.pointerId)) return;
    const by = from - event.clientY;
    if (!pulled && Math.abs(by) < PULL_PX) return;
    pulled = true;
    box.style.height = Math.max(48, height + by) + "px";
  });
  grip.addEventListener("pointerup", () => {
    if (!pulled) return;
    const share = box.getBoundingClientRect().height / innerHeight;
    box.style.height = "";
    // The click that follows a pull is none.
    setTimeout(() => {
      pulled = false;
    });
    if (how.away && share < 0.25) how.away();
    else set(share > 0.68 ? "full" : share > 0.3 ? "half" : how.min);
  });
  set(rise);

  return {
    /** @param {Rise} min rises at least so far */
    raise(min) {
      if (onPhone() && RISES.indexOf(rise) < RISES.indexOf(min)) set(min);
    },
    lower() {
      if (onPhone()) set(how.min);
    },
    /** @param {Rise} next */
    set(next) {
      if (onPhone()) set(next);
    },
  };
}

/** On a phone the settings lie in the drawer, where a thumb reaches them. */
export function placeSettings() {
  const settings = byId("settings");
  const desk = byId("desk-settings");
  const phone = byId("phone-settings");
  const narrow = matchMedia("(max-width: 899px)");
  const place = () => put(narrow.matches ? phone : desk, settings);
  narrow.addEventListener("change", place);
  place();
}
