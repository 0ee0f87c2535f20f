// Harbors: a choice among them, where there are several.
/** @import { HarborEntry } from "../core/types" */
import { byId, el, put } from "../core/dom.js";
import { count } from "../words/names.js";

/** @param {HarborEntry[]} harbors */
export function offerHarbors(harbors) {
  const box = byId("notice");
  box.hidden = false;
  if (!harbors.length) {
    put(
      box,
      el("h2", {}, "There is no harbor here yet"),
      el("p", {}, "Put your moorings into a folder as moorings.csv and run"),
      el("pre", {}, "swingroom import FOLDER --db swingroom.db"),
      el("p", {}, "then load this page again. An invented harbor to try it with: swingroom demo."),
    );
    return;
  }
  put(
    box,
    el("h2", {}, "Which harbor?"),
    el(
      "ul",
      { class: "rows" },
      ...harbors.map((each) =>
        el(
          "li",
          {},
          el(
            "a",
            { class: "row", href: "#harbor=" + encodeURIComponent(each.slug) },
            el("span", { class: "title" }, each.name),
            el("span", { class: "figure" }, count(each.moorings, "mooring")),
          ),
        ),
      ),
    ),
  );
}
