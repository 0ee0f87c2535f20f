// Lists: troubles or moorings, of one area or of all.
/** @import { Page } from "../core/types" */
import { troubleList } from "../controls/troubles.js";
import { byId, el, put } from "../core/dom.js";
import { listFiles } from "./listfiles.js";
import { mooringList } from "./mooring.js";

const LISTS = /** @type {const} */ (["troubles", "moorings"]);

/** @param {Page} page */
export function lists(page) {
  const of = { troubles: troubleList(page), moorings: mooringList(page) };
  const files = listFiles(page);
  const area = /** @type {HTMLSelectElement} */ (byId("area"));

  for (const name of LISTS) byId("list-" + name).addEventListener("click", () => page.store.set({ list: name }));
  area.addEventListener("change", () => page.store.set({ area: area.value }));

  /** Shows the chosen list; its rows stay as they are. */
  function choose() {
    const { list } = page.store.get();
    for (const name of LISTS) {
      byId("list-" + name).setAttribute("aria-pressed", String(name === list));
      byId(name).hidden = name !== list;
    }
    byId("kinds").hidden = list !== "troubles";
    area.value = page.store.get().area;
    of[list].render();
  }

  /** The harbor's areas are known. */
  function areas() {
    put(
      area,
      el("option", { value: "" }, "All areas"),
      ...page.data.info.areas.map((each) => el("option", { value: each.name }, each.name)),
    );
    byId("area-filter").hidden = page.data.info.areas.length < 2;
  }

  /** @param {"renew" | "refill" | "mark"} what */
  const both = (what) => {
    for (const name of LISTS) of[name][what]();
  };

  const { store, scene } = page;
  store.subscribe(["mooring", "with", "hazard"], () => both("mark"));
  store.subscribe(["list", "area", "kinds"], (_now, changed) => {
    choose();
    if (changed.has("area") || changed.has("kinds")) both("refill");
  });
  store.subscribe(["units"], () => {
    of[store.get().list].render();
    files.render();
  });
  scene.subscribe(["info"], areas);
  scene.subscribe(["moorings", "report"], () => {
    both("renew");
    choose();
  });
  scene.subscribe(["marked"], () => both("refill"));
}
