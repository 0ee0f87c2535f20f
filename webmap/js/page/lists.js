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

  return {
    choose,
    /** The harbor's areas are known. */
    areas() {
      put(area, el("option", { value: "" }, "All areas"), ...page.data.info.areas.map((each) => el("option", { value: each.name }, each.name)));
      byId("area-filter").hidden = page.data.info.areas.length < 2;
    },
    /** Moorings or the report have come. */
    renew() { for (const name of LISTS) of[name].renew(); choose(); },
    refill() { for (const name of LISTS) of[name].refill(); },
    render() { of[page.store.get().list].render(); files.render(); },
    /** Another mooring or trouble is current. */
    mark() { for (const name of LISTS) of[name].mark(); },
  };
}
