// Layout form: how the places are to be laid out whose number is asked for.
/** @import { Capacity } from "../core/types" */
import { byId, el } from "../core/dom.js";

/** @type {[Capacity["layout"], string][]} */
const LAYOUTS = [
  ["as_is", "all moorings stay where they are"],
  ["moved", "some moorings are laid again"],
  ["hexagonal", "the whole area anew, rows set off"],
  ["square", "the whole area anew, rows and columns"],
  ["free", "the whole area anew, freely"],
];

/** Stands under the open water's own buttons, since the boat, the area and the tackle are the same. */
export function layoutForm() {
  const layout = el("select", { id: "where-layout", change: choose }, ...LAYOUTS.map(([value, words]) => el("option", { value }, words)));
  const numbers = el("input", { id: "where-move", name: "move", autocomplete: "off", autocapitalize: "off", placeholder: "301, 305, 312" });
  const moved = el("label", { for: "where-move", hidden: true }, "Numbers that may be laid again", numbers);
  const box = el(
    "details",
    { id: "where-more" },
    el("summary", {}, "How many more boats like this fit?"),
    el("label", { for: "where-layout" }, "Layout", layout),
    moved,
    el("button", { type: "submit", class: "primary", id: "where-count", value: "capacity" }, "Count the places"),
  );
  byId("where-circle").after(box);

  function choose() {
    moved.hidden = numbers.disabled = layout.value !== "moved";
  }
  choose();

  return {
    /** @returns {Record<string, string>} */
    read() {
      const move = numbers.disabled
        ? ""
        : numbers.value
            .split(/[\s,;]+/)
            .filter(Boolean)
            .join(",");
      return move ? { layout: layout.value, move } : { layout: layout.value };
    },
    /** @param {Record<string, string>} query */
    fill(query) {
      if (!query.layout) return;
      layout.value = LAYOUTS.find(([value]) => value === query.layout)?.[0] ?? "as_is";
      numbers.value = (query.move ?? "").replaceAll(",", ", ");
      box.open = true;
      choose();
    },
  };
}
