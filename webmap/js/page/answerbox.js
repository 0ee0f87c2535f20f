// Answer box: the place under the questions where answers stand; it writes its answer anew when the unit is switched.
/** @import { Page } from "../core/types" */
import { byId, el, put } from "../core/dom.js";
import { closeIcon } from "../core/icons.js";

/** So much of an answer has to be seen without scrolling. */
const MIN_SEEN_PX = 180;

/** @param {Page} page */
export function answerBox(page) {
  const box = byId("answer");

  function render() {
    const { title, make } = page.scene.get().answer;
    box.hidden = title === null;
    if (title === null) return put(box);
    put(
      box,
      el(
        "div",
        { class: "answer-head" },
        el("h2", {}, title),
        el(
          "button",
          { type: "button", class: "icon-button", "aria-label": "Clear the answer", click: () => page.answer(null) },
          closeIcon(),
        ),
      ),
      ...make(),
    );
    // An answer that stands below the fold is no answer.
    const scroll = box.closest(".scroll");
    const room = box.getBoundingClientRect();
    if (scroll && room.top + MIN_SEEN_PX > scroll.getBoundingClientRect().bottom) box.scrollIntoView({ block: "start" });
  }

  page.scene.subscribe(["answer"], render);
  page.store.subscribe(["units"], render);
}
