// Acts: the short form by which something on file is changed. What is typed stays, whatever the service says.
/** @import { Acted, Page, Sheet } from "./types" */
import { addressOf, harborPath, Refusal } from "./api.js";
import { byId, el, put } from "./dom.js";
import { readForm } from "./forms.js";
import { recall, remember } from "./memory.js";
import { send } from "./send.js";
import { toldOf } from "./takewords.js";
import { inWords } from "./units.js";
import { fieldsInWords, sentence } from "./words.js";

/** Under this name the browser keeps who wrote last. */
const WHO = "swingroom.who";

/** @typedef {{label: string, act: string, body: Record<string, string | boolean>, boat?: boolean, despite?: boolean, position?: boolean}} What `boat`: her name and owner are asked; `despite`: it may be done although the check does not let it pass */

/** @param {What} what @param {Page} page @param {(acted: Acted) => Promise<void>} done */
export function actForm({ label, act, body, boat, despite: may, position }, page, done) {
  const told = el("div", { role: "alert" });
  const id = "act-" + crypto.randomUUID().slice(0, 8);
  const field = (/** @type {string} */ name, /** @type {string} */ words, /** @type {Record<string, string | boolean>} */ more = {}) =>
    el("label", { for: `${id}-${name}` }, words, el("input", { id: `${id}-${name}`, name, autocomplete: "off", ...more }));
  const despite = field("despite", "Why it is done nonetheless", { required: true, disabled: true });
  despite.hidden = true;
  const form = el("form", { class: "ask act", novalidate: true },
    position && field("position", "Where to, in any form", { required: true, spellcheck: "false" }),
    boat && el("div", { class: "fields" }, field("boat", "Boat's name"), field("owner", "Owner")),
    el("div", { class: "fields" }, field("who", "Who writes this", { required: true, value: recall(WHO) }), field("why", "Why", { required: true })), told, despite,
    el("button", { type: "submit", class: "primary" }, label));
  let sending = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const values = readForm(/** @type {HTMLFormElement} */ (form), page.units());
    if (!values || sending) return;
    sending = true;
    put(told, el("p", { class: "quiet" }, "Asking the service …"));
    try {
      /** @type {Acted} */
      const acted = await send(harborPath(page.data.info.slug, act), { ...body, ...values });
      remember(WHO, values.who ?? "");
      await done(acted);
    } catch (fault) {
      refuse(/** @type {Error} */ (fault));
    } finally {
      sending = false;
    }
  });

  /** @param {Error} fault */
  function refuse(fault) {
    const status = fault instanceof Refusal ? fault.status : 0, words = inWords(sentence(fieldsInWords(fault.message)), page.units());
    const unfit = { title: "The check does not let it pass.", next: may ? "Change it, or do it nonetheless and say why; the reason is put on record." : "Ask again: the harbor may have changed since." };
    const { title, next } = status === 409 ? unfit : toldOf(status);
    put(told, el("div", { class: "refusal" }, el("p", {}, el("strong", {}, title)), el("p", {}, words), el("p", {}, next)));
    if (status === 409 && may) despite.hidden = /** @type {HTMLInputElement} */ (despite.querySelector("input")).disabled = false;
    page.say(told.textContent ?? "");
  }
  return form;
}

/** A button, and the box that it unfolds; what is in it is made when it is first opened. @param {string} label @param {() => HTMLElement} make */
export function unfolding(label, make) {
  const box = el("div", { hidden: true });
  const button = el("button", { type: "button", class: "plain", "aria-expanded": "false", click: toggle }, label);
  function toggle() {
    const opened = box.hidden;
    if (opened && !box.firstChild) put(box, make());
    box.hidden = !opened;
    button.setAttribute("aria-expanded", String(opened));
    if (opened) box.querySelector("input")?.focus();
  }
  return { button, box };
}

/** What is shown when something has been done. @param {Page} page @returns {(acted: Acted) => Promise<void>} */
export function whenDone(page) {
  return async ({ number, words, revision }) => {
    page.tryOut(null);
    page.answer(`Mooring ${number}`, () => [
      el("p", {}, sentence(inWords(words, page.units()))), el("p", { class: "quiet" }, `The harbor is at revision ${revision}; who did it and why is on record.`)]);
    page.say(words);
    await page.refresh();
    if (page.data.byNumber.has(number)) page.open(number);
  };
}

/** What can be done with a mooring, and what can be printed of it. Forms that are open outlast the sheet's being written again. @param {Page} page */
export function createActs(page) {
  const done = whenDone(page), slug = page.data.info.slug;
  /** @type {Map<string, ReturnType<typeof unfolding>>} by label */
  const kept = new Map();
  /** @param {Acted} acted */
  const gone = (acted) => { byId("sheet-close").click(); return done(acted); }; // a retired mooring has no sheet to be asked for again
  /** @param {Acted} acted */
  const changed = (acted) => { kept.clear(); return done(acted); };

  /** @param {string} path @param {Record<string, string>} query @param {string} label */
  const paper = (path, query, label) => el("p", {}, el("a", { target: "_blank", rel: "noopener", href: addressOf(harborPath(slug, path), query) }, label));

  return {
    forget: () => kept.clear(),
    /** @param {Sheet} sheet @returns {Node[]} */
    parts({ mooring: { number, boat, area } }) {
      /** @type {[string, What][]} */
      const acts = [
        boat ? ["Her boat leaves", { label: "Make it vacant", act: "acts/vacate", body: { number } }] : ["Retire the mooring", { label: "Retire it", act: "acts/retire", body: { number } }],
        ["Move the anchor", { label: "Move it", act: "acts/anchor", body: { number }, position: true, despite: true }],
      ];
      const made = acts.map(([label, what]) => {
        const unfolded = kept.get(label) ?? unfolding(label, () => actForm(what, page, what.act === "acts/retire" ? gone : changed));
        kept.set(label, unfolded);
        return unfolded;
      });
      return [
        paper(`moorings/${encodeURIComponent(number)}/sheet.pdf`, boat ? { fit: "true" } : {}, "The sheet to sign (PDF)"),
        ...(area ? [paper("area_chart.pdf", { area }, `The chart of ${area} (PDF)`)] : []),
        el("div", { class: "buttons" }, ...made.map(({ button }) => button)), ...made.map(({ box }) => box),
      ];
    },
  };
}
