// Harbors: which one the page is about.
/** @import { HarborEntry, HarborInfo } from "./types" */
/** @import { Coming } from "./data.js" */
import { ask, harborPath } from "./api.js";
import { request } from "./data.js";
import { byId, el, put } from "./dom.js";
import { count } from "./words.js";

/**
 * @param {string} slug from the address; empty: the only one
 * @returns {Promise<{info: HarborInfo, coming: Coming} | null>} null when somebody has to choose first; the choice is on the page then
 */
export async function chooseHarbor(slug) {
  /** @type {Promise<{harbors: HarborEntry[] | null}>} */
  const asked = ask("harbors");
  if (slug) {
    asked.then(({ harbors }) => { byId("other-harbors").hidden = (harbors?.length ?? 0) < 2; }, () => {});
    return enter(slug);
  }
  const { harbors } = await asked;
  if (harbors?.length === 1) return enter(harbors[0].slug);
  offer(harbors ?? []);
  return null;
}

/** @param {string} slug */
async function enter(slug) {
  // Everything is asked for at once: the harbor's own answer need not be waited for.
  const coming = request(slug);
  /** @type {HarborInfo} */
  const info = await ask(harborPath(slug));
  return { info, coming };
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
