// Answer box: the place under the questions where answers stand; it writes its answer anew when the unit is switched.
import { byId, el, put } from "../core/dom.js";
import { closeIcon } from "../core/icons.js";

/** So much of an answer has to be seen without scrolling. */
const LEAST_SEEN_PX = 180;

/** @param {() => void} cleared before another answer or none takes the place */
export function answerBox(cleared) {
  const box = byId("answer");
  /** @type {{title: string, make: () => Node[]} | null} */
  let shown = null;

  function render() {
    box.hidden = !shown;
    if (!shown) return put(box);
    put(box,
      el("div", { class: "answer-head" }, el("h2", {}, shown.title),
        el("button", { type: "button", class: "icon-button", "aria-label": "Clear the answer", click: () => show(null) }, closeIcon())),
      ...shown.make());
    // An answer that stands below the fold is no answer.
    const scroll = box.closest(".scroll"), room = box.getBoundingClientRect();
    if (scroll && room.top + LEAST_SEEN_PX > scroll.getBoundingClientRect().bottom) box.scrollIntoView({ block: "start" });
  }

  /** @param {string | null} title @param {() => Node[]} [make] */
  function show(title, make = () => []) {
    cleared();
    shown = title === null ? null : { title, make };
    render();
  }

  return { show, render, isOpen: () => shown !== null };
}
