// Edit conflict: a field that two have changed since the same state of the record. Both values stand side by side, with who, when and why;
// neither is taken before somebody has chosen.
/** @import { Page } from "../core/types" */
/** @import { Change, Clash } from "../core/recordtypes" */
import { el } from "../core/dom.js";
import { fieldWords, valueWords } from "../words/record.js";
import { whenWords } from "../words/times.js";

/** @typedef {"mine" | "theirs"} Choice */

let made = 0;

/** The newest change of a field. @param {Change[]} changes @param {string} noun @param {string} name @param {string} path */
export function lastOf(changes, noun, name, path) {
  const these = changes.filter(
    (each) =>
      each.noun === noun && each.name === name && (each.fields ?? []).some(({ field }) => field === path || field.startsWith(path + "[")),
  );
  return these.reduce((/** @type {Change | null} */ last, each) => (!last || each.revision >= last.revision ? each : last), null);
}

/** "N. N., 26 November 2026, 14:05 UTC: survey". @param {Change | null} change */
export const byWhom = (change) =>
  change ? `${change.who || "somebody"}, ${whenWords(change.at)}${change.why ? ": " + change.why : ""}` : "changed meanwhile";

/**
 * @param {Page} page
 * @param {string} noun
 * @param {Clash} clash
 * @param {Change | null} change by which it became theirs
 * @param {(choice: Choice) => void} choose
 * @returns {{box: HTMLElement, choice(): Choice | null, focus(): void, fault(): void, rewrite(): void}}
 */
export function clashBox(page, noun, { path, mine, theirs }, change, choose) {
  const group = `clash-${++made}`;
  /** @type {Choice | null} */
  let chosen = null;
  const figure = { mine: el("strong", {}), theirs: el("strong", {}) };
  const told = el("p", { class: "field-fault", role: "alert" });
  const pick = (/** @type {Choice} */ choice, /** @type {string} */ words, /** @type {string} */ from) => {
    const input = el("input", {
      type: "radio",
      name: group,
      value: choice,
      id: `${group}-${choice}`,
      change: () => {
        chosen = choice;
        told.textContent = "";
        choose(choice);
      },
    });
    return el(
      "label",
      { class: "pick", for: input.id },
      input,
      el("span", {}, words + " ", figure[choice], from && el("span", { class: "quiet" }, from)),
    );
  };
  const box = el(
    "fieldset",
    { class: "clash", "data-clash": path },
    el("legend", {}, fieldWords(noun, path)),
    pick("mine", "Keep yours:", ""),
    pick("theirs", "Take theirs:", byWhom(change)),
    told,
  );
  const rewrite = () => {
    figure.mine.textContent = valueWords(noun, path, mine, page.units());
    figure.theirs.textContent = valueWords(noun, path, theirs, page.units());
  };
  const focus = () => box.querySelector("input")?.focus();
  rewrite();
  return {
    box,
    choice: () => chosen,
    focus,
    rewrite,
    fault() {
      told.textContent = "Choose one of the two.";
      focus();
    },
  };
}
