// Main: wires the page together.
import { FIRST, followAddress, format, parse } from "../core/address.js";
import { byId, el, put } from "../core/dom.js";
import { part } from "../core/later.js";
import { createView } from "../core/store.js";
import { placeSettings } from "./drawer.js";
import { openHarbor } from "./harbor.js";
import { loadHarbor } from "../core/loadharbor.js";
import { prefetched } from "./prefetch.js";

const store = createView(parse(location.hash));
followAddress(store);
placeSettings();

/** @param {ReturnType<typeof loadHarbor>} loading */
async function start(loading) {
  byId("notice").hidden = true;
  try {
    const { harbors, chosen } = await loading;
    if (chosen) {
      openHarbor(store, chosen.info, chosen.coming);
      harbors.then(
        (all) => {
          byId("other-harbors").hidden = all.length < 2;
        },
        () => {},
      );
    } else {
      const [all, { offerHarbors }] = await Promise.all([harbors, part("harbors")]);
      offerHarbors(all);
    }
  } catch (fault) {
    refuse(/** @type {Error} */ (fault));
  }
  store.subscribe(["harbor", "on"], () => location.reload());
}

/** @param {Error} fault */
function refuse(fault) {
  const box = byId("notice");
  box.hidden = false;
  put(
    box,
    el("h2", {}, "The harbor cannot be shown"),
    el("p", {}, fault.message + " Nothing is lost; the address keeps the view."),
    store.get().on && el("p", {}, el("button", { type: "button", click: () => store.set({ on: "" }) }, "Back to today")),
    el(
      "p",
      {},
      el("button", { type: "button", click: () => start(loadHarbor(store.get().harbor, store.get().on)) }, "Ask again"),
      " ",
      el("a", { href: format(FIRST) }, "All harbors"),
    ),
  );
}

start(prefetched);
