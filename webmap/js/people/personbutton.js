// Person button: who is signed in, quietly at the top, where anybody can sign in at all. What it opens is fetched then.
/** @import { Page } from "../core/types" */
import { tellRefusal } from "../controls/refusal.js";
import { byId, el, put } from "../core/dom.js";
import { later } from "../core/later.js";
import { roleWords } from "../core/permissions.js";

/** @param {Page} page @param {() => void} raise makes room for the form on a phone */
export function personButton(page, raise) {
  const button = byId("person");
  const words = byId("person-words");
  const form = later("person", ({ person }) => person(page, { left }));
  let asker = "";
  let known = false;

  page.me.on(({ name, role, accounts }) => {
    button.hidden = !accounts;
    put(words, name || "Sign in", name && el("span", { class: "role" }, ` · ${roleWords(role)}`));
    const next = name + "\n" + role;
    const others = known && next !== asker;
    if (others || (!known && role !== "harbormaster")) page.scene.set({ person: page.scene.get().person + 1 });
    asker = next;
    known = true;
  });
  button.addEventListener("click", () => {
    if (form.here()?.isOpen()) form.here()?.close();
    else open();
  });

  /** @param {() => void} [then] */
  async function open(then) {
    try {
      const here = await form.get();
      raise();
      here.open(then ?? null);
      button.setAttribute("aria-expanded", "true");
    } catch (fault) {
      tellRefusal(page, /** @type {Error} */ (fault), () => open(then));
    }
  }

  function left() {
    button.setAttribute("aria-expanded", "false");
    if (document.activeElement === document.body && button.checkVisibility()) button.focus({ preventScroll: true });
  }

  return { open, isOpen: () => Boolean(form.here()?.isOpen()), close: () => form.here()?.close() };
}
