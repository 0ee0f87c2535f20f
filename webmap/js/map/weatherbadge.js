// Weather badge: the wind and the stream that the boats lie to, with their figures, on the corner of the map; on paper too.
/** @import { LiesTo } from "../core/types" */
import { arrow, pointing } from "../controls/arrows.js";
import { pointOf } from "../core/compass.js";
import { byId, el, put, svg } from "../core/dom.js";
import { bearing } from "../words/units.js";

/** @typedef {import("../controls/arrows.js").Mover} Mover */

export function weatherBadge() {
  const box = byId("vane");
  const wind = line("wind");
  const stream = line("stream");
  const water = el("p", { class: "water-mark" });
  put(box, wind.box, stream.box, water);

  /** @param {Mover} mover */
  function line(mover) {
    const hand = svg("g", {}, arrow(mover));
    const figures = el("strong");
    const words = el("span", { class: "quiet" });
    const row = el(
      "p",
      {},
      svg("svg", { viewBox: "-44 -44 88 88", width: 44, height: 44, "aria-hidden": "true" }, hand),
      el("span", {}, figures, " ", words),
    );
    let last = "";
    return {
      box: row,
      /** @param {number} deg @param {number} knots @param {string} more */
      show(deg, knots, more) {
        const still = knots < 0.05;
        hand.setAttribute("transform", `rotate(${pointing(mover, deg).toFixed(1)})`);
        hand.classList.toggle("still", still);
        const text = still
          ? mover === "wind"
            ? "no wind"
            : "no stream"
          : `${bearing(deg)} · ${knots < 9.95 ? knots.toFixed(1).replace(".0", "") : Math.round(knots)} kn`;
        if (text + more === last) return;
        last = text + more;
        figures.textContent = text;
        words.textContent = still ? "" : (mover === "wind" ? `wind from ${pointOf(deg)}` : `stream to ${pointOf(deg)}`) + more;
      },
    };
  }

  return {
    /** @param {LiesTo | null} to null: nothing is laid */
    show(to) {
      box.hidden = !to;
      if (!to) return;
      wind.show(to.wind_from_deg, to.wind_kn, to.gust > 1 ? `, gusts × ${Math.round(to.gust * 100) / 100}` : "");
      stream.show(to.stream_to_deg, to.stream_kn, "");
      if (water.textContent !== to.level) water.textContent = to.level;
    },
  };
}
