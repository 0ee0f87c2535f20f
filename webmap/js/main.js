// Main: wires the page together.
import { FIRST, followAddress, format, parse } from "./address.js";
import { byId, el, put } from "./dom.js";
import { placeSettings } from "./drawer.js";
import { openHarbor } from "./harbor.js";
import { chooseHarbor } from "./harbors.js";
import { createStore } from "./store.js";

const store = createStore(parse(location.hash));
followAddress(store);
placeSettings();

async function start() {
  byId("notice").hidden = true;
  try {
    const chosen = await chooseHarbor(store.get().harbor);
    if (chosen) openHarbor(store, chosen.info, chosen.coming);
    else store.on((_view, changed) => { if (changed.has("harbor")) location.reload(); });
  } catch (fault) {
    const box = byId("notice");
    box.hidden = false;
    put(box, el("h2", {}, "The harbor cannot be shown"), el("p", {}, /** @type {Error} */ (fault).message + " Nothing is lost; the address keeps the view."),
      el("p", {}, el("button", { type: "button", click: start }, "Ask again"), " ", el("a", { href: format(FIRST) }, "All harbors")));
    store.on((_view, changed) => { if (changed.has("harbor")) location.reload(); });
  }
}

start();
