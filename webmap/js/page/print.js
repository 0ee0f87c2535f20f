// Print: a chart on paper: the map as it stands, with legend, scale and date.
/** @import { Page } from "../core/types" */
import { byId } from "../core/dom.js";
import { levelWords } from "./settings.js";

/** Pixels of the canvas per pixel of the page: 288 dots an inch. */
const FINENESS = 3;

/** @param {Page} page @param {import("./harbor.js").OnMap} onMap */
export function printing({ store, data, units }, { map, chart, bar }) {
  /** @param {number} fineness */
  const draw = (fineness) => {
    bar.draw();
    chart.now(fineness);
  };

  addEventListener("beforeprint", () => {
    document.documentElement.classList.add("printing");
    byId("print-title").textContent = data.info.name;
    byId("print-facts").textContent = [
      `Drawn for ${levelWords(store.get().level, data, units())}`,
      `printed ${new Date().toLocaleString("en-GB", { dateStyle: "long", timeStyle: "short" })}`,
      `revision ${data.info.revision}`,
      `WGS\u00a084`,
      data.info.caution || "planning aid, not for navigation",
    ].join(" · ");
    map.invalidateSize({ animate: false, pan: true });
    draw(FINENESS);
  });
  addEventListener("afterprint", () => {
    document.documentElement.classList.remove("printing");
    map.invalidateSize({ animate: false, pan: true });
    draw(0);
  });
  byId("print").addEventListener("click", () => print());
}
