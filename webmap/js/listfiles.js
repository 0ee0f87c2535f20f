// List files: the lists as files for a spreadsheet, in the units that are shown.
/** @import { Page } from "./types" */
import { addressOf, harborPath } from "./api.js";
import { byId, el, put } from "./dom.js";

/** Each list, and whether it holds what is kept from the public. @type {[string, string, boolean][]} */
const LISTS = [["moorings", "Moorings", false], ["tackle", "Tackle", false], ["owners", "Owners", true], ["waiting", "Waiting list", true], ["notes", "Notes", true], ["history", "History", true]];

/** @param {Page} page */
export function listFiles(page) {
  const box = /** @type {HTMLDetailsElement} */ (byId("list-files"));
  box.addEventListener("toggle", render);
  page.me.on(render);

  function render() {
    if (!box.open) return;
    const rows = LISTS.filter(([, , kept]) => !kept || page.me.reads());
    put(byId("list-files-body"), ...rows.map(([name, words]) => el("li", {}, el("span", {}, words), ...["csv", "xlsx"].map((form) =>
      el("a", { class: "file", download: true, href: addressOf(harborPath(page.data.info.slug, `lists/${name}.${form}`), name === "history" ? {} : { units: page.units() }), "aria-label": `${words} as ${form.toUpperCase()}` }, form.toUpperCase())))));
  }
  return { render };
}
