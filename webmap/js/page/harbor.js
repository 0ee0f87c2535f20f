// Harbor: the page of one harbor. It makes the parts of the page; each follows the view and the scene by itself.
/** @import { HarborInfo, Page, Store, View } from "../core/types" */
import { watchLengths } from "../controls/lengths.js";
import { plainSlug } from "../core/address.js";
import { emptyHarbor } from "../core/data.js";
import { byId, onPhone } from "../core/dom.js";
import { createScene } from "../core/store.js";
import { createChart } from "../map/chart.js";
import { addBackground, createMap, mapView } from "../map/map.js";
import { createPicker } from "../map/picker.js";
import { scaleBar } from "../map/scalebar.js";
import { covered } from "./covered.js";
import { createDrawer } from "./drawer.js";
import { escape } from "./escape.js";
import { followHarbor } from "./followharbor.js";
import { clicks } from "./mapclicks.js";
import { createPage } from "./page.js";
import { makeParts } from "./makeparts.js";
import { printing } from "./print.js";

/** @typedef {ReturnType<typeof makeMap>} OnMap */
/** @typedef {ReturnType<typeof makeParts>} Parts */

/**
 * @param {Store} store
 * @param {HarborInfo} info
 * @param {import("../core/loadharbor.js").Coming} coming what lies in it, asked for already
 */
export function openHarbor(store, info, coming) {
  const first = store.get();
  const data = emptyHarbor(info);
  const units = () => store.get().units || data.info.units;
  store.set({ harbor: plainSlug(info.slug) });
  const shown = { store, scene: createScene(worstOf(info, first)), data, units };
  const onMap = makeMap(shown);
  watchLengths(store, units);

  const column = createDrawer("column", { min: "peek", moved: () => {} });
  const raise = () => column.raise("half");
  const makeRoom = () => {
    column.lower();
    if (onPhone()) parts.sheet.close();
  };
  const picker = createPicker(makeRoom);
  const page = createPage(shown, { view: onMap.view, pick: picker.pick, raise, parts: () => parts });
  /** @type {Parts} */
  const parts = makeParts(page, onMap, { raise, makeRoom, framed: Boolean(first.at) });
  clicks(page, onMap, { picked: picker.picked, chosen: (which) => parts.water.here()?.marks.choose(which), nothing: column.lower });
  escape(page, parts, picker);
  printing(page, onMap);

  page.scene.set({ info: 1 });
  if (first.sought || first.panel === "next") raise();
  followHarbor(page, onMap, parts, { first, coming });
}

/** Until somebody opens something, the worst conflict is pointed out. @param {HarborInfo} info @param {View} first */
function worstOf(info, first) {
  return !first.at && !first.mooring && first.panel !== "lie" && !first.sought ? info.worst : null;
}

/** The map, what is drawn on it, and its scale. @param {Pick<Page, "store" | "scene" | "data" | "units">} shown */
function makeMap(shown) {
  const map = createMap();
  const view = mapView(map, shown.data, shown.store, covered);
  view.showAll(true);
  addBackground(map, shown.data.info.background);
  const chart = createChart(map, shown);
  const bar = scaleBar(map, shown);
  new ResizeObserver(() => map.invalidateSize({ animate: false, pan: true })).observe(byId("map"));
  return { map, view, chart, bar };
}
