// Lie: the fourth question opens and closes its form here; what asks and draws how the boats lie is fetched when it is opened.
/** @import { Page } from "./types" */
import { byId, el, put } from "./dom.js";
import { later } from "./later.js";
import { tellRefusal } from "./refusal.js";

/** @param {Page} page @param {Parameters<typeof import("./weather.js").weather>[1] & {raise(): void}} deeds */
export function lieQuestion(page, deeds) {
  const { store } = page, button = byId("ask-lie"), form = byId("form-lie");
  const asked = later("weather", ({ weather }) => weather(page, deeds));
  const isOpen = () => store.get().panel === "lie";
  let waiting = false, wantsFocus = false;

  button.addEventListener("click", () => {
    const open = wantsFocus = !isOpen();
    if (open) page.answer(null);
    store.set({ panel: open ? "lie" : "" });
    if (!open) return;
    deeds.raise();
    takeFocus();
  });

  function takeFocus() {
    const here = asked.here();
    if (!here || !wantsFocus) return;
    wantsFocus = false;
    // Whoever went on to something else while it was fetched stays there.
    if (isOpen() && [button, document.body].includes(/** @type {HTMLElement} */ (document.activeElement))) here.focus();
  }

  async function bring() {
    if (waiting) return;
    waiting = true;
    put(form, el("p", { class: "quiet" }, "Fetching the form …"));
    try {
      await asked.get();
    } catch (fault) {
      put(form);
      if (isOpen()) tellRefusal(page, /** @type {Error} */ (fault), () => { page.answer(null); render(); });
    } finally {
      waiting = false;
    }
    asked.here()?.render();
    takeFocus();
  }

  /** Shows what the view holds. */
  function render() {
    const open = isOpen(), here = asked.here();
    button.setAttribute("aria-expanded", String(open));
    form.hidden = !open;
    if (here) here.render();
    else if (open) bring();
  }

  return { render, here: asked.here };
}
