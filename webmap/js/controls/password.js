// Password: what stands beside a field in which one is typed: whether it is shown, and how long it is by now.
import { el } from "../core/dom.js";

/** As the service asks for it. */
const MIN_LENGTH = 12;
/** From here on a password is called long: four words or so. */
const LONG = 20;

/** A choice to see what is typed. @param {...HTMLInputElement} inputs */
export function showing(...inputs) {
  const box = el("input", {
    type: "checkbox",
    change: () => {
      for (const input of inputs) input.type = box.checked ? "text" : "password";
    },
  });
  return el("label", { class: "show-password" }, box, "Show what is typed");
}

/** Tells while a new password is typed whether it is long enough. @param {HTMLInputElement} input */
export function lengthOf(input) {
  const words = el("p", { class: "quiet", role: "status" }, lengthWords(0));
  input.addEventListener("input", () => {
    words.textContent = lengthWords([...input.value].length);
  });
  return words;
}

/** @param {number} signs */
export function lengthWords(signs) {
  if (signs === 0) return `At least ${MIN_LENGTH} characters; several words in a row make a good one.`;
  if (signs < MIN_LENGTH) return `${signs} of at least ${MIN_LENGTH} characters.`;
  return signs < LONG ? `${signs} characters: long enough, and better with another word.` : `${signs} signs: long.`;
}
