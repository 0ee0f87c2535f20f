// Actions: what can be done with a mooring, and what can be printed of it.
/** @import { ActionResult, Page, Sheet } from "../core/types" */
/** @import { May } from "../core/recordtypes" */
import { actionForm as formOf, fieldOf } from "../controls/actionform.js";
import { disclosure } from "../controls/disclosure.js";
import { addressOf, harborPath } from "../core/api.js";
import { byId, el, renew } from "../core/dom.js";
import { sentence } from "../words/names.js";
import { proposeForm, proposes } from "./propose.js";

/**
 * @typedef {{label: string, act: string, body: Record<string, string | boolean>, boat?: boolean, despite?: boolean, position?: boolean}}
 *   What `boat`: its name and owner are asked; `despite`: it may be done although it does not fit
 */

const SWAP = "Propose a swap with …";

let made = 0;

/** @param {What} what @param {Page} page @param {(acted: ActionResult) => Promise<void>} done */
export function actionForm({ label, act, body, boat, despite, position }, page, done) {
  const id = `act-${++made}`;
  return formOf(page, {
    id,
    label,
    act,
    done,
    fields: [
      position && fieldOf(id, "position", "Where to, in any form", { required: true, spellcheck: "false" }),
      boat && el("div", { class: "fields" }, fieldOf(id, "boat", "Boat's name"), fieldOf(id, "owner", "Owner")),
    ],
    body: ({ position: at, boat: name, owner }) => ({
      ...body,
      ...(at && { position: at }),
      ...(name && { boat: name }),
      ...(owner && { owner }),
    }),
    despite: despite ? { words: "Why it is done anyway", label: label + " anyway" } : undefined,
    unfit: {
      title: "This does not fit:",
      next: despite
        ? "Change it, or do it anyway and say why; the reason is put on record."
        : "Ask again: the harbor may have changed since.",
    },
  }).box;
}

/** What is shown when something has been done. @param {Page} page @returns {(acted: ActionResult) => Promise<void>} */
export function whenDone(page) {
  return async ({ number, words }) => {
    page.tryOut(null);
    page.answer(`Mooring ${number}`, () => [
      el("p", {}, sentence(words[page.units()])),
      el("p", { class: "quiet" }, "Who did it and why is on record."),
    ]);
    page.say(words[page.units()]);
    await page.refresh();
    if (page.data.byNumber.has(number)) page.open(number);
  };
}

/** Forms that are open outlast the sheet's being written again. @param {Page} page */
export function createActs(page) {
  const done = whenDone(page);
  const slug = page.data.info.slug;
  const box = el("section", {});
  const title = el("h3", {}, "On paper, and what can be done");
  /** @type {Map<string, ReturnType<typeof disclosure>>} by label */
  const kept = new Map();
  /** @param {ActionResult} acted */
  const gone = (acted) => {
    byId("sheet-close").click();
    return done(acted);
  }; // a retired mooring has no sheet to be asked for again
  /** @param {ActionResult} acted */
  const changed = (acted) => {
    kept.clear();
    return done(acted);
  };

  /** @param {string} path @param {Record<string, string>} query @param {string} label */
  const paper = (path, query, label) =>
    el("p", {}, el("a", { target: "_blank", rel: "noopener", href: addressOf(harborPath(slug, path), query) }, label));

  return {
    forget: () => kept.clear(),
    /** @param {Sheet} sheet */
    part({ mooring: { number, boat, area } }) {
      /** @type {[May, string, What][]} */
      const acts = [
        boat
          ? ["moorings", "The boat leaves", { label: "Make it vacant", act: "acts/vacate", body: { number } }]
          : ["moorings", "Retire the mooring", { label: "Retire it", act: "acts/retire", body: { number } }],
        ["positions", "Move the anchor", { label: "Move it", act: "acts/anchor", body: { number }, position: true, despite: true }],
      ];
      /** @param {string} label @param {() => HTMLElement} make */
      const keep = (label, make) => {
        const unfolded = kept.get(label) ?? disclosure(label, make);
        kept.set(label, unfolded);
        return unfolded;
      };
      const opened = (/** @type {string} */ label) => Boolean(kept.get(label)?.isOpen());
      const made = acts
        .filter(([may, label]) => page.me.may(may) || opened(label))
        .map(([, label, what]) => keep(label, () => actionForm(what, page, what.act === "acts/retire" ? gone : changed)));
      if (boat && (proposes(page) || opened(SWAP))) made.push(keep(SWAP, () => proposeForm(page, [number], changed)));
      renew(box, [
        title,
        paper(`moorings/${encodeURIComponent(number)}/sheet.pdf`, boat ? { fit: "true" } : {}, "The sheet to sign (PDF)"),
        ...(area ? [paper("area_chart.pdf", { area }, `The chart of ${area} (PDF)`)] : []),
        ...(made.length ? [el("div", { class: "buttons" }, ...made.map(({ button }) => button))] : []),
        ...made.map((each) => each.box),
      ]);
      return box;
    },
  };
}
