// Record card: one record that is no mooring as it stands, the form by which it is changed, and for who waits the way off the list.
/** @import { ActionResult, Page } from "../core/types" */
/** @import { May, News, Noun, RecordAnswer, Value } from "../core/recordtypes" */
import { actionForm } from "../controls/actionform.js";
import { disclosure } from "../controls/disclosure.js";
import { ask, harborPath } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { valueAt } from "../core/merge.js";
import { send } from "../core/send.js";
import { sentence } from "../words/names.js";
import { fieldWords, groupsOf, valueWords } from "../words/record.js";
import { changedMeanwhile } from "../words/refused.js";
import { changing, contactParts } from "./recordpart.js";
import { figures } from "./tackle.js";

/** @type {Record<string, May>} */
const MAY = { owner: "owners", note: "notes", waiting: "waiting" };

/**
 * @param {Page} page @param {Noun} noun @param {string} name
 * @param {(acted: ActionResult) => void} [gone] it has been taken off the record; without it there is no way to
 */
export function recordCard(page, noun, name, gone) {
  const box = el("div", { class: "record-card" });
  const shown = el("div", {});
  const told = el("div", { class: "told saved", role: "status" });
  const below = el("div", {});
  const path = harborPath(page.data.info.slug, `records/${noun}/${encodeURIComponent(name)}`);
  /** @type {RecordAnswer | null} */
  let of = null;
  /** @type {ReturnType<typeof changing> | null} */
  let change = null;
  put(box, el("p", { class: "quiet" }, "Asking for the record …"));
  fill();

  /** @param {string[]} [saved] */
  async function fill(saved = []) {
    try {
      of = await ask(path);
      show();
      offer();
      put(told, ...saved.map((each) => el("p", {}, each)));
      if (shown.parentElement !== box) put(box, shown, told, below);
    } catch (problem) {
      put(
        box,
        el(
          "div",
          { class: "refusal" },
          el("p", {}, sentence(/** @type {Error} */ (problem).message)),
          el("button", { type: "button", click: () => fill() }, "Ask again"),
        ),
      );
    }
  }

  function show() {
    const record = /** @type {RecordAnswer} */ (of).record;
    put(shown, ...(noun === "owner" ? contactParts(/** @type {any} */ (record)) : [figures(rowsOf(record))]));
  }

  /** What may be done with it; made once, so that what is typed stays. */
  function offer() {
    if (below.firstChild || !of?.may?.length || !page.me.may(MAY[noun])) return;
    change = changing(page, "Change the record", noun, name, fill);
    const removal = gone && disclosure("Take off the list", () => removeForm(gone));
    put(below, el("div", { class: "buttons" }, change.button, removal && removal.button), change.box, removal && removal.box);
  }

  /** @param {(acted: ActionResult) => void} gone */
  function removeForm(gone) {
    const act = actionForm(page, {
      id: `remove-${++made}`,
      label: "Take off the list",
      act: "acts/edit",
      body: () => ({ noun, name, remove: true }),
      unfit: { title: "It cannot be removed.", next: "Ask again: the harbor may have changed since." },
      send: (body) => send(harborPath(page.data.info.slug, "acts/edit"), body, of?.revision ?? 0),
      async refused({ status, changed }) {
        if (status !== 412) return false;
        await fill();
        act.tell(
          "This record has been changed meanwhile.",
          changedMeanwhile(changed),
          "It stands above as it is now; nothing has been removed. Look at it, then send it again.",
        );
        return true;
      },
      async done(acted) {
        gone(acted);
      },
    });
    return act.box;
  }

  /** @param {Record<string, Value>} record @returns {[string, string][]} */
  function rowsOf(record) {
    return groupsOf(noun, record)
      .flatMap((group) => group.fields)
      .map(
        (spec) =>
          /** @type {[string, string]} */ ([
            fieldWords(noun, spec.path),
            valueWords(noun, spec.path, valueAt(record, spec.path), page.units()),
          ]),
      )
      .filter(([, words]) => words !== "not on record");
  }

  return {
    box,
    /** Other units. */
    rewrite() {
      if (of) show();
      change?.rewrite();
    },
    /** @param {News} news */
    news(news) {
      change?.news(news);
      if (of && (news.changed ?? []).some((each) => each.noun === noun && each.name === name)) fill();
    },
  };
}

let made = 0;
