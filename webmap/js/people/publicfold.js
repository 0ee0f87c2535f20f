// Public fold: what the public sees, under the lists, where nobody signs in and so there are no accounts beside which it could stand.
/** @import { Page } from "../core/types" */
import { byId, el, put } from "../core/dom.js";
import { later } from "../core/later.js";
import { sentence } from "../words/names.js";

/** @param {Page} page */
export function publicFold(page) {
  const box = /** @type {HTMLDetailsElement} */ (byId("public-seen"));
  const body = byId("public-seen-body");
  const form = later("publicPart", ({ publicPart }) => publicPart(page));

  page.me.on(({ accounts }) => {
    box.hidden = accounts || !page.me.may("accounts");
  });
  box.addEventListener("toggle", () => {
    if (box.open && !form.here()) bring();
  });

  async function bring() {
    try {
      put(body, await form.get());
    } catch (fault) {
      put(
        body,
        el(
          "div",
          { class: "refusal", role: "alert" },
          el("p", {}, sentence(/** @type {Error} */ (fault).message)),
          el("button", { type: "button", click: bring }, "Ask again"),
        ),
      );
    }
  }
}
