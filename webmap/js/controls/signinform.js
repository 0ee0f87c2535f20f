// Sign-in form: name and password. The password goes nowhere but to the service, and is forgotten here at once.
/** @import { Page } from "../core/types" */
import { Refusal } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { send } from "../core/send.js";
import { sentence } from "../words/names.js";
import { pauseWords } from "../words/refused.js";
import { fault } from "./lengths.js";
import { showing } from "./password.js";

/** @param {Page} page @param {string} id begins the ids of its fields @param {() => void} done */
export function signInForm(page, id, done) {
  const told = el("div", { class: "told", role: "alert" });
  const name = el("input", {
    id: id + "-name",
    name: "name",
    autocomplete: "username",
    autocapitalize: "none",
    spellcheck: "false",
    required: true,
  });
  const password = el("input", {
    id: id + "-password",
    name: "password",
    type: "password",
    autocomplete: "current-password",
    required: true,
  });
  const form = el(
    "form",
    { class: "ask sign-in", novalidate: true },
    el("label", { for: name.id }, "Name", name),
    el("label", { for: password.id }, "Password", password),
    showing(password),
    told,
    el("button", { type: "submit", class: "primary" }, "Sign in"),
  );
  let sending = false;

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (sending) return;
    const empty = [name, password].find((input) => !input.value.trim());
    if (empty) {
      fault(empty, "Please fill this in.");
      return;
    }
    sending = true;
    put(told, el("p", { class: "quiet" }, "Asking the service …"));
    try {
      const person = await send("sign-in", { name: name.value.trim(), password: password.value });
      password.value = "";
      password.type = "password";
      put(told);
      page.me.take(person);
      page.say(`Signed in as ${person.name}.`);
      done();
    } catch (problem) {
      put(told, el("div", { class: "refusal" }, ...refusedWords(/** @type {Error} */ (problem)).map((each) => el("p", {}, each))));
      password.select();
    } finally {
      sending = false;
    }
  });
  return form;
}

/** @param {Error} problem */
function refusedWords(problem) {
  const { status, retryAfterS } = problem instanceof Refusal ? problem : new Refusal(problem.message, 0);
  if (status === 401) return ["Name or password is wrong. Type them again; a harbormaster can give you a new password."];
  if (status === 429)
    return ["Too many attempts in a short time.", `Wait ${retryAfterS ? pauseWords(retryAfterS) : "a while"}, then try again.`];
  if (status === 0 || status >= 500) return [sentence(problem.message), "You are not signed in. Try again when the service is back."];
  return [sentence(problem.message)];
}
