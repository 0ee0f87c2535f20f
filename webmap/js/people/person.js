// Person: who is signed in, as what; signing in and out, another password, and for a harbormaster the accounts.
/** @import { Page } from "../core/types" */
import { disclosure } from "../controls/disclosure.js";
import { fault } from "../controls/lengths.js";
import { lengthOf, showing } from "../controls/password.js";
import { signInForm } from "../controls/signinform.js";
import { Refusal } from "../core/api.js";
import { byId, el, put } from "../core/dom.js";
import { closeIcon } from "../core/icons.js";
import { roleWords } from "../core/permissions.js";
import { send } from "../core/send.js";
import { sentence } from "../words/names.js";
import { accountsPart } from "./account.js";

/** @param {Page} page @param {{left(): void}} callbacks `left`: the form has been closed */
export function person(page, callbacks) {
  const box = byId("form-person");
  /** @type {(() => void) | null} */
  let then = null;

  function render() {
    const { name, role } = page.me.get();
    const signedIn = name !== "";
    put(
      box,
      el(
        "div",
        { class: "answer-head" },
        el("h2", { id: "person-title", tabindex: "-1" }, signedIn ? name : "Sign in"),
        el("button", { type: "button", class: "icon-button", "aria-label": "Close this form", click: close }, closeIcon()),
      ),
      ...(signedIn
        ? [el("p", { class: "quiet" }, `Signed in as ${roleWords(role)}.`), ...signedInParts()]
        : [
            el("p", { class: "quiet" }, "For those who look after the moorings. The map can be read without it."),
            signInForm(page, "person", () => {
              const next = then;
              close();
              next?.();
            }),
          ]),
    );
  }

  /** @returns {Node[]} */
  function signedInParts() {
    const password = disclosure("Change password", () => passwordForm(page, () => password.away()));
    const told = el("div", { class: "told", role: "alert" });
    const out = el(
      "button",
      {
        type: "button",
        class: "plain",
        id: "person-out",
        click: async () => {
          try {
            await send("sign-out", {});
            await page.me.look();
            close();
            page.say("Signed out.");
          } catch (problem) {
            put(
              told,
              el(
                "div",
                { class: "refusal" },
                el("p", {}, sentence(/** @type {Error} */ (problem).message)),
                el("p", {}, "You are still signed in."),
              ),
            );
          }
        },
      },
      "Sign out",
    );
    return [
      el("div", { class: "buttons" }, out, password.button),
      told,
      password.box,
      ...(page.me.get().may?.includes("accounts") ? [accountsPart(page)] : []),
    ];
  }

  function close() {
    box.hidden = true;
    put(box);
    then = null;
    callbacks.left();
  }

  return {
    /** @param {(() => void) | null} [next] what is asked again when somebody has signed in */
    open(next = null) {
      then = next;
      render();
      box.hidden = false;
      box.scrollIntoView({ block: "start" });
      (box.querySelector("input") ?? byId("person-title")).focus({ preventScroll: true });
    },
    close,
    isOpen: () => !box.hidden,
  };
}

/** @param {Page} page @param {() => void} done */
function passwordForm(page, done) {
  const told = el("div", { class: "told", role: "alert" });
  const field = (/** @type {string} */ name, /** @type {string} */ words, /** @type {string} */ complete) =>
    el("input", { id: "password-" + name, type: "password", autocomplete: complete, "aria-label": words });
  const old = field("old", "Your present password", "current-password");
  const next = field("new", "New password", "new-password");
  const again = field("again", "The new password again", "new-password");
  return el(
    "form",
    {
      class: "ask act",
      novalidate: true,
      submit: async (/** @type {Event} */ event) => {
        event.preventDefault();
        const empty = [old, next, again].find((each) => !each.value);
        if (empty) {
          fault(empty, "Please fill this in.");
          return;
        }
        if (next.value !== again.value) {
          fault(again, "The two are not the same.");
          return;
        }
        try {
          await send("password", { old: old.value, new: next.value });
          page.say("The password is changed.");
          for (const each of [old, next, again]) each.value = "";
          done();
        } catch (problem) {
          put(
            told,
            el(
              "div",
              { class: "refusal" },
              el("p", {}, sentence(/** @type {Error} */ (problem).message)),
              problem instanceof Refusal && problem.status === 0 && el("p", {}, "Try both passwords when you sign in next."),
            ),
          );
        }
      },
    },
    el("label", { for: old.id }, "Your present password", old),
    el("label", { for: next.id }, "New password", next),
    lengthOf(next),
    el("label", { for: again.id }, "The new password again", again),
    showing(old, next, again),
    told,
    el("button", { type: "submit", class: "primary" }, "Change it"),
  );
}
