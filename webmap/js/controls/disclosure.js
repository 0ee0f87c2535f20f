// Disclosure: a button, and the box that it unfolds; what is in it is made when it is first opened, and stays.
import { el, put } from "../core/dom.js";

/** @param {string} label @param {() => HTMLElement} make @param {(box: HTMLElement) => void} [opened] each time */
export function disclosure(label, make, opened = () => {}) {
  const box = el("div", { class: "unfolding", hidden: true });
  const button = el("button", { type: "button", class: "plain", "aria-expanded": "false", click: toggle }, label);
  function toggle() {
    const open = box.hidden;
    if (open && !box.firstChild) put(box, make());
    box.hidden = !open;
    button.setAttribute("aria-expanded", String(open));
    if (!open) return;
    opened(box);
    focusFirst();
  }
  function focusFirst() {
    const first = [...box.querySelectorAll("input, textarea, select")].find(
      (each) => each.checkVisibility() && !(/** @type {HTMLInputElement} */ (each).disabled),
    );
    /** @type {HTMLElement | undefined} */ (first)?.focus();
  }
  return {
    button,
    box,
    focusFirst,
    isOpen: () => !box.hidden,
    /** Folds it, and forgets what was in it. */
    away() {
      const held = box.contains(document.activeElement);
      box.hidden = true;
      put(box);
      button.setAttribute("aria-expanded", "false");
      if (held) button.focus({ preventScroll: true });
    },
  };
}
