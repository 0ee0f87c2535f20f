// Later form: a question whose form is fetched when it is opened; it opens and closes here.
/** @import { Page, Question } from "../core/types" */
import { tellRefusal } from "../controls/refusal.js";
import { byId, el, put, renew } from "../core/dom.js";

/**
 * @template {{render(): void, focus(): void}} T
 * @param {Page} page
 * @param {Question} name
 * @param {{get(): Promise<T>, here(): T | null}} asked what makes the form
 * @param {() => void} raise makes room for it on a phone
 * @param {() => boolean} [allowed] whether who asks may ask this; if not it is not offered, and by its address it says who may
 */
export function laterForm(page, name, asked, raise, allowed = () => true) {
  const { store } = page;
  const button = byId("ask-" + name);
  const form = byId("form-" + name);
  const isOpen = () => store.get().panel === name;
  let waiting = false;
  let wantsFocus = false;
  let withheld = false;
  /** What stands in the form, while it is withheld. @type {Node[]} */
  let kept = [];
  const notForAll = el("p", {}, "This is for those who look after the moorings.");
  const signIn = el("button", { type: "button", class: "primary", click: () => page.signIn() }, "Sign in");

  button.addEventListener("click", () => {
    const open = (wantsFocus = !isOpen());
    if (open) page.answer(null);
    store.set({ panel: open ? name : "" });
    if (!open) return;
    raise();
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
      if (isOpen())
        tellRefusal(page, /** @type {Error} */ (fault), () => {
          page.answer(null);
          render();
        });
    } finally {
      waiting = false;
    }
    if (!asked.here()) return;
    // Who asks may have become known meanwhile, and this is not for them.
    if (withheld) kept = [...form.childNodes];
    render();
    takeFocus();
  }

  /** Shows what the view holds. */
  function render() {
    const open = isOpen();
    const here = asked.here();
    button.setAttribute("aria-expanded", String(open));
    button.hidden = !allowed() && !open;
    form.hidden = !open;
    if (!allowed()) {
      if (!withheld) kept = [...form.childNodes];
      withheld = true;
      renew(form, page.me.canSignIn() ? [notForAll, signIn] : [notForAll]);
      return;
    }
    if (withheld) put(form, ...kept);
    withheld = false;
    if (here) here.render();
    else if (open) bring();
  }

  page.store.subscribe(["panel", "weather", "sought"], render);
  page.scene.subscribe(["person"], render);
  render();
}
