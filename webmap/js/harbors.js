// Harbors: which one the page is about.
/** @import { HarborEntry, HarborInfo } from "./types" */
import { ask, harborPath } from "./api.js";
import { byId, el, put } from "./dom.js";
import { count } from "./words.js";

/**
 * @param {string} slug from the address; empty: the only one
 * @returns {Promise<HarborInfo | null>} null when somebody has to choose first; the choice is on the page then
 */
export async function chooseHarbor(slug) {
  if (slug) return ask(harborPath(slug));
  /** @type {{harbors: HarborEntry[] | null}} */
  const { harbors } = await ask("harbors");
  if (harbors?.length === 1) return ask(harborPath(harbors[0].slug));
  offer(harbors ?? []);
  return null;
}

/** @param {HarborEntry[]} harbors */
function offer(harbors) {
  const box = byId("notice");
  box.hidden = false;
  if (!harbors.length) {
    put(box, el("h2", {}, "There is no harbor here yet"),
      el("p", {}, "Put your moorings into a folder as moorings.csv and run"), el("pre", {}, "swingroom import FOLDER --db swingroom.db"),
      el("p", {}, "then load this page again. An invented harbor to try it with: swingroom demo."));
    return;
  }
  put(box, el("h2", {}, "Which harbor?"),
    el("ul", { class: "rows" }, ...harbors.map((each) => el("li", {},
      el("a", { class: "row", href: "#harbor=" + encodeURIComponent(each.slug) },
        el("span", { class: "title" }, each.name), el("span", { class: "figure" }, count(each.moorings, "mooring")))))));
}
