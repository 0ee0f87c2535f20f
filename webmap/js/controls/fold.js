// Fold: what is secondary is folded away, and made only when somebody unfolds it. What is unfolded stays so when the rest is written again.
import { el, put, svg } from "../core/dom.js";

/** @typedef {ReturnType<typeof createFolds>} Folds */

export function createFolds() {
  /** @type {Map<string, boolean>} */
  const unfolded = new Map();

  return {
    /** Another mooring: all is folded again. */
    forget() {
      unfolded.clear();
    },
    /**
     * @param {string} name of the fold
     * @param {{title: (Node | string)[], figure?: string, words?: string}} summary
     * @param {() => Node[]} make
     * @param {boolean} [open] at first @returns {HTMLDetailsElement}
     */
    fold(name, { title, figure, words }, make, open = false) {
      const body = el("div", { class: "unfolded" });
      const box = el(
        "details",
        { class: "fold", open: unfolded.get(name) ?? open, "data-fold": name },
        el(
          "summary",
          { class: "row" },
          chevron(),
          el("span", { class: "title" }, title),
          figure && el("span", { class: "figure" }, figure),
          words && el("span", { class: "words" }, words),
        ),
        body,
      );
      const fill = () => {
        if (box.open && !body.firstChild) put(body, make());
      };
      fill();
      box.addEventListener("toggle", () => {
        unfolded.set(name, box.open);
        fill();
      });
      return box;
    },
  };
}

function chevron() {
  return svg(
    "svg",
    { class: "icon chevron", viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("path", { d: "M9 5l7 7l-7 7", class: "line" }),
  );
}
