// History: who changed what of a mooring, when and why, field by field; and the way back from one's own last act.
/** @import { ActionResult, Page, Sheet } from "../core/types" */
/** @import { Change, HistoryAnswer } from "../core/recordtypes" */
import { actionForm, whoWrote } from "../controls/actionform.js";
import { disclosure } from "../controls/disclosure.js";
import { addressOf, ask, harborPath } from "../core/api.js";
import { el, put, renew } from "../core/dom.js";
import { send } from "../core/send.js";
import { sentence } from "../words/names.js";
import { fieldWords, isTold, sideWords } from "../words/record.js";
import { changedMeanwhile } from "../words/refused.js";
import { whenWords } from "../words/times.js";

/** So many are asked for at a time. */
const AT_ONCE = 20;
/** One's own last act is looked for among so many of the harbor. */
const LAST_AMONG = 200;
/** More changed fields than this are folded away. */
const FEW_FIELDS = 8;

/** @param {Page} page */
export function createHistory(page) {
  const box = el("section", { id: "history" });
  const title = el("h3", {}, "History");
  const list = el("ol", { class: "history" });
  const told = el("div", { class: "told", role: "status" });
  const more = el("button", { type: "button", class: "plain", hidden: true, click: () => fetchMore() }, "Earlier ones");
  const paper = el("p", {});
  const undone = el("div", { class: "told saved", role: "status" });
  let number = "";
  let revision = -1;
  /** @type {Change[]} */
  let changes = [];
  let coming = new AbortController();
  const fold = disclosure(
    "Who changed what",
    () => el("div", { class: "changes" }, told, list, el("div", { class: "buttons" }, more), paper),
    () => {
      if (!changes.length) fetchAnew();
    },
  );
  /** The revision of the last thing that the asker did anywhere in the harbor; the service undoes that and no other. */
  let lastOwn = 0;
  /**
   * By which one's own last act is undone; kept while it is open.
   * @type {{id: number | undefined, fold: ReturnType<typeof disclosure>} | null}
   */
  let undoing = null;

  function fetchAnew() {
    changes = [];
    put(told, el("p", { class: "quiet" }, "Asking for the history …"));
    fetchMore();
  }

  async function fetchMore() {
    coming.abort();
    coming = new AbortController();
    const { signal } = coming;
    const last = changes.at(-1)?.id;
    try {
      /** @type {HistoryAnswer} */
      const came = await ask(
        harborPath(page.data.info.slug, "history"),
        { noun: "mooring", name: number, before: last, limit: AT_ONCE },
        signal,
      );
      if (signal.aborted) return;
      changes = [...changes, ...(came.changes ?? [])];
      more.hidden = !came.more;
      if (last === undefined && changes[0] && isMine(changes[0])) await findLastOwn(signal);
      if (signal.aborted) return;
      put(told);
      write();
    } catch (problem) {
      if (signal.aborted) return;
      put(
        told,
        el(
          "div",
          { class: "refusal" },
          el("p", {}, sentence(/** @type {Error} */ (problem).message)),
          el("button", { type: "button", click: () => fetchMore() }, "Ask again"),
        ),
      );
    }
  }

  /** @param {AbortSignal} signal */
  async function findLastOwn(signal) {
    /** @type {HistoryAnswer} */
    const all = await ask(harborPath(page.data.info.slug, "history"), { limit: LAST_AMONG }, signal);
    lastOwn = all.changes?.find(isMine)?.revision ?? 0;
  }

  function write() {
    const mine = changes[0] && changes[0].revision === lastOwn && isMine(changes[0]) ? changes[0] : null;
    renew(
      list,
      changes.map((each) => itemOf(each, each === mine)),
    );
    if (!changes.length) put(told, el("p", { class: "quiet" }, "Nothing has been changed since the mooring was put on file."));
    put(
      paper,
      el(
        "a",
        {
          target: "_blank",
          rel: "noopener",
          href: addressOf(harborPath(page.data.info.slug, `moorings/${encodeURIComponent(number)}/history.pdf`), {}),
        },
        "The history to print (PDF)",
      ),
    );
  }

  /** Where nobody signs in, whose it is goes by the name that was written last. @param {Change} change */
  function isMine({ who }) {
    const me = page.me.get();
    return who !== "" && who === (me.accounts ? me.name : whoWrote());
  }

  /** @param {Change} change @param {boolean} mine */
  function itemOf(change, mine) {
    const rows = fieldRows(change);
    const parts =
      rows.length > FEW_FIELDS
        ? [el("details", {}, el("summary", {}, kindWords(change, rows.length)), el("dl", { class: "diff" }, ...rows))]
        : rows.length
          ? [el("dl", { class: "diff" }, ...rows)]
          : [];
    return el(
      "li",
      { class: "change" },
      el("p", {}, el("strong", {}, change.who || "somebody"), " · ", whenWords(change.at)),
      change.why && el("p", { class: "why" }, sentence(change.why)),
      ...parts,
      ...(mine && page.me.may("notes") ? undoParts(change) : []),
    );
  }

  /** @param {Change} change @param {number} n how many fields */
  function kindWords({ fields }, n) {
    if ((fields ?? []).every(({ before }) => before === "")) return `Put on file, with ${n} fields`;
    return (fields ?? []).every(({ after }) => after === "") ? `Taken off the file, with ${n} fields` : `${n} fields`;
  }

  /** @param {Change} change */
  function fieldRows({ noun, fields }) {
    return (fields ?? [])
      .filter(isTold)
      .map(({ field, before, after }) =>
        el(
          "div",
          {},
          el("dt", {}, fieldWords(noun, field)),
          el(
            "dd",
            {},
            el("del", { class: before === "" ? "none" : null }, sideWords(noun, field, before, page.units())),
            el("span", { class: "to", "aria-hidden": "true" }, " → "),
            el("ins", {}, sideWords(noun, field, after, page.units())),
          ),
        ),
      );
  }

  /** @param {Change} change @returns {Node[]} */
  function undoParts(change) {
    if (undoing?.id !== change.id) {
      const made = disclosure("Undo my last act", () => undoForm(change, made));
      undoing = { id: change.id, fold: made };
    }
    const { button, box: under } = /** @type {NonNullable<typeof undoing>} */ (undoing).fold;
    return [el("div", { class: "buttons" }, button), under];
  }

  /** @param {Change} change @param {ReturnType<typeof disclosure>} within */
  function undoForm(change, within) {
    const form = actionForm(page, {
      id: `undo-${change.revision}`,
      label: "Undo it",
      act: "acts/undo",
      why: "may be",
      body: () => ({ revision: change.revision }),
      unfit: { title: "It cannot be undone.", next: "Others have built on it. Change the record by hand instead." },
      // Whoever has built on it would be undone as well.
      async refused({ status, message, changed }) {
        if (status !== 412) return false;
        form.tell(
          "It cannot be undone.",
          changedMeanwhile(changed) ?? sentence(message),
          "Others have built on it. Change the record by hand instead.",
        );
        return true;
      },
      send: (body) => send(harborPath(page.data.info.slug, "acts/undo"), body),
      async done(/** @type {ActionResult} */ acted) {
        within.away();
        undoing = null;
        put(undone, el("p", {}, `${sentence(acted.words[page.units()])} That is on record as an act of its own.`));
        page.say(undone.textContent ?? "");
        await page.refresh();
      },
    });
    return form.box;
  }

  return {
    /** @param {Sheet} sheet */
    part({ mooring }) {
      box.hidden = !page.me.reads() && !fold.isOpen();
      if (mooring.number !== number) {
        fold.away();
        changes = [];
        undoing = null;
        put(undone);
        put(list);
        more.hidden = true;
      }
      const anew = revision !== page.data.info.revision || mooring.number !== number;
      number = mooring.number;
      revision = page.data.info.revision;
      if (anew && fold.isOpen()) refetch();
      else if (!fold.isOpen() && anew) changes = [];
      else if (fold.isOpen()) write();
      renew(box, [title, undone, el("div", { class: "buttons" }, fold.button), fold.box]);
      return box;
    },
    forget() {
      number = "";
    },
  };

  /** What is shown stays until the newer one has come. */
  function refetch() {
    const before = changes;
    changes = [];
    fetchMore().then(() => {
      if (!changes.length) changes = before;
    });
  }
}
