// List files: the lists as files for a spreadsheet, in the units that are shown.
/** @import { Page } from "../core/types" */
import { addressOf, harborPath } from "../core/api.js";
import { byId, el, put } from "../core/dom.js";

/**
 * Each list, and what of it has to be shown to the public for the public to find anything in it; null: nothing has to be.
 * @type {[string, string, string[] | null][]}
 */
const LISTS = [
  ["moorings", "Moorings", null],
  ["tackle", "Tackle", null],
  ["owners", "Owners", ["owner"]],
  ["waiting", "Waiting list", ["waiting", "waiting_names"]],
  ["notes", "Notes", ["note"]],
  ["history", "History", []],
];

/** @param {Page} page */
export function listFiles(page) {
  const box = /** @type {HTMLDetailsElement} */ (byId("list-files"));
  box.addEventListener("toggle", render);
  page.me.on(render);

  function render() {
    if (!box.open) return;
    const rows = LISTS.filter(([, , kept]) => !kept || page.me.reads() || kept.some((kind) => page.data.info.public?.includes(kind)));
    put(
      byId("list-files-body"),
      ...rows.map(([name, words]) =>
        el(
          "li",
          {},
          el("span", {}, words),
          ...["csv", "xlsx"].map((form) =>
            el(
              "a",
              {
                class: "file",
                download: true,
                href: addressOf(
                  harborPath(page.data.info.slug, `lists/${name}.${form}`),
                  name === "history" ? {} : { units: page.units() },
                ),
                "aria-label": `${words} as ${form.toUpperCase()}`,
              },
              form.toUpperCase(),
            ),
          ),
        ),
      ),
    );
  }
  return { render };
}
