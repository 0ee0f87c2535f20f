// Sign-in place: where somebody turns out not to be signed in any more, they sign in on the spot, below what they were typing.
/** @import { Page } from "../core/types" */
import { el, put } from "../core/dom.js";
import { signInForm } from "./signinform.js";

/** @param {Page} page @param {string} id begins the ids of its fields */
export function signInPlace(page, id) {
  const box = el("div", { class: "sign-in-place", hidden: true });
  return {
    box,
    /** @param {() => void} done */
    offer(done) {
      const form = signInForm(page, id + "-sign-in", () => {
        away();
        done();
      });
      put(box, form);
      box.hidden = false;
      box.querySelector("input")?.focus();
    },
    away,
  };

  function away() {
    box.hidden = true;
    put(box);
  }
}
