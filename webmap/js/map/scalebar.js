// Scale bar: a round length at the middle of the map, on the ellipsoid, and the scale of the print.
/** @import { Page } from "../core/types" */
import { byId, el, put } from "../core/dom.js";
import { perMetre, roundBelow, worldPixels } from "../core/scale.js";
import { METRES_PER_FOOT, unitName } from "../words/units.js";

const MAX_PX = 150;
/** A pixel on paper is a 96th of an inch. */
const METRES_PER_PIXEL = 0.0254 / 96;

/** @param {L.Map} map @param {Pick<Page, "store" | "units">} page */
export function scaleBar(map, { store, units }) {
  const box = byId("scalebar");
  function draw() {
    const pixelsPerMetre = perMetre(map.getCenter().lat).x * worldPixels(map.getZoom());
    const unit = units() === "feet" ? METRES_PER_FOOT : 1;
    const total = roundBelow(MAX_PX / pixelsPerMetre / unit);
    const bar = el("div", { class: "bar" }, el("i"), el("i"), el("i"), el("i"));
    bar.style.width = (total * unit * pixelsPerMetre).toFixed(1) + "px";
    const ratio = 1 / (pixelsPerMetre * METRES_PER_PIXEL);
    const rough = 10 ** Math.max(0, Math.floor(Math.log10(ratio)) - 1);
    put(
      box,
      el("span", { class: "visually-hidden" }, "Scale bar: "),
      bar,
      el("span", {}, total.toLocaleString("en") + "\u00a0" + unitName(units())),
      el("span", { class: "ratio" }, "1 : " + (Math.round(ratio / rough) * rough).toLocaleString("en")),
    );
  }
  map.on("moveend zoomend", draw);
  store.subscribe(["units"], draw);
  return { draw };
}
