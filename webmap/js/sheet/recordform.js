// Record form: changes what is on record of one thing. Only what was typed over is sent, with the state that it was made from; where others
// have changed the same record meanwhile, both are merged.
/** @import { ActionResult, Page } from "../core/types" */
/** @import { Change, Noun, News, RecordAnswer, Value } from "../core/recordtypes" */
import { actionForm } from "../controls/actionform.js";
import { byWhom, clashBox, lastOf } from "../controls/editconflict.js";
import { fault } from "../controls/lengths.js";
import { ask, harborPath, Refusal } from "../core/api.js";
import { el, put } from "../core/dom.js";
import { merge, valueAt } from "../core/merge.js";
import { send } from "../core/send.js";
import { count, sentence } from "../words/names.js";
import { fieldWords, groupsOf, groupsOfNew, nounWords, valueWords } from "../words/record.js";
import { today } from "../words/times.js";
import { createField, unreadable } from "./recordfield.js";
import { tackleForm } from "./tackleform.js";

/** @typedef {import("./recordfield.js").Field} Field */

/** So often a change that touches nothing of ours is merged and sent again without asking. */
const MAX_MERGES = 3;

let forms = 0;

/**
 * Whether somebody may set a field: the service names the beginnings of those that they may; an empty one is all, and [] any place of a
 * list.
 * @param {string[] | null} may
 * @param {string} path
 */
export function settable(may, path) {
  const plain = path.replace(/\[\d+\]/g, "[]");
  return (may ?? []).some(
    (each) =>
      each === "" ||
      (each.endsWith(".") && path.startsWith(each)) ||
      [path, plain].some((one) => one === each || one.startsWith(each + ".") || one.startsWith(each + "[")),
  );
}

/**
 * @param {Page} page @param {Noun} noun @param {string} name empty: a new one, whose name is typed
 * @param {(acted: ActionResult, merged: string[], name: string) => Promise<void>} done `merged`: what others changed meanwhile, in words
 */
export function recordForm(page, noun, name, done) {
  const fresh = name === "";
  const box = el("div", { class: "record-form" });
  const groups = el("div", { class: "groups" });
  const clashes = el("div", { class: "clashes", role: "group", "aria-label": "Changed by both" });
  const meanwhile = el("p", { class: "meanwhile", role: "status", hidden: true });
  const path = harborPath(page.data.info.slug, `records/${noun}/${encodeURIComponent(name)}`);
  /** @type {RecordAnswer | null} */
  let base = null;
  /** @type {Map<string, Field>} */
  let fields = new Map();
  /** What was typed into fields that are no more, by path. @type {Map<string, Value>} */
  const orphans = new Map();
  /** @type {Map<string, ReturnType<typeof clashBox>>} */
  let open = new Map();
  /** @type {string[]} */
  let merged = [];
  let merges = 0;
  const tackle = tackleForm(page, (at) => settable(base?.may ?? null, at));

  const id = `record-${++forms}`;
  const act = actionForm(page, {
    id,
    label: "Save it",
    act: "acts/edit",
    fields: [groups, meanwhile, clashes],
    body: collect,
    despite: { words: "Why it is done anyway", label: "Save it anyway" },
    unfit: { title: "This does not fit:", next: "Change it, or do it anyway and say why; the reason is put on record." },
    send: (body) => send(harborPath(page.data.info.slug, "acts/edit"), body, fresh ? page.data.info.revision : (base?.revision ?? 0)),
    refused,
    async done(acted) {
      await done(acted, merged, fresh ? (fields.get("name")?.text().trim() ?? "") : name);
    },
  });
  async function fetchIt() {
    put(box, el("p", { class: "quiet" }, "Fetching the record …"));
    try {
      base = fresh ? { noun, name, revision: 0, record: {}, may: [""] } : await ask(path);
    } catch (problem) {
      // An owner who is only named has no record yet; it is made of what is typed.
      if (noun === "owner" && problem instanceof Refusal && problem.status === 404)
        base = { noun, name, revision: page.data.info.revision, record: {}, may: [""] };
      else
        return void put(
          box,
          el(
            "div",
            { class: "refusal", role: "alert" },
            el("p", {}, sentence(/** @type {Error} */ (problem).message)),
            el("button", { type: "button", click: fetchIt }, "Ask again"),
          ),
        );
    }
    tackle.lay(partsOf(base?.record ?? {}), true);
    build();
    /** @type {HTMLDetailsElement | null} */
    const top = groups.querySelector("details");
    if (top) top.open = true;
    if (!top) put(box, el("p", {}, "Nothing of this record is yours to change. Ask the harbormaster."));
    else put(box, act.box);
    const held = box.closest(".unfolding")?.parentElement;
    if (held && (document.activeElement === document.body || held.contains(document.activeElement)))
      first()?.focus({ preventScroll: true });
  }

  const first = () =>
    /** @type {HTMLElement | undefined} */ ([...groups.querySelectorAll("input, textarea, select")].find((each) => each.checkVisibility()));

  /** Makes the fields of the record as it is now; what was typed goes along. The tackle has a form of its own. */
  function build() {
    const of = /** @type {RecordAnswer} */ (base);
    const old = fields;
    const opened = new Set([...groups.querySelectorAll("details[open]")].map((each) => /** @type {HTMLElement} */ (each).dataset.group));
    fields = new Map();
    const made = specsOf(of.record).flatMap(({ name: group, title, fields: specs }) => {
      const these = specs
        .filter((each) => settable(of.may, each.path))
        .map((each) => createField(each, valueAt(of.record, each.path), page));
      for (const field of these) {
        const before = old.get(field.path);
        if (before?.isChanged()) field.type(before.text());
        fields.set(field.path, field);
      }
      return [
        ...(group === "place" ? [tackle.box] : []),
        ...(these.length
          ? [
              el(
                "details",
                { class: "group", "data-group": group, open: fresh || opened.has(group) },
                el("summary", {}, title),
                el("div", { class: "fields", role: "group", "aria-label": title }, ...these.map(({ label }) => label)),
              ),
            ]
          : []),
      ];
    });
    if (fresh && !old.size) fields.get("since")?.type(today());
    put(groups, ...made);
    for (const [at, field] of old) if (!fields.has(at) && field.isChanged()) keep(at, field);
  }

  /** All groups but the parts of the tackle. @param {Record<string, Value>} record */
  const specsOf = (record) =>
    (fresh ? groupsOfNew(noun) : groupsOf(noun, record)).filter(({ name: group }) => !group.startsWith("tackle["));
  /** @param {Record<string, Value>} record */
  const partsOf = (record) => /** @type {Record<string, Value>[]} */ (Array.isArray(record.tackle) ? record.tackle : []);
  /** Every field that is there now. @returns {Field[]} */
  const every = () => [...fields.values(), ...tackle.fields()];
  /** @param {string} at */
  const fieldAt = (at) => every().find((each) => each.path === at);

  /** @param {string} at @param {Field} field */
  function keep(at, field) {
    const typed = field.read();
    if ("value" in typed) orphans.set(at, typed.value);
  }

  /** What was typed, by path; null where something cannot be read, which is then shown. */
  function mine() {
    /** @type {Map<string, Value>} */
    const set = new Map(orphans),
      whole = tackle.isWhole();
    for (const field of whole ? fields.values() : every()) {
      if (!field.isChanged()) continue;
      const typed = field.read();
      if ("want" in typed) return unreadable(field, typed.want);
      set.set(field.path, typed.value);
    }
    if (!whole) return set;
    const list = tackle.read();
    return list && set.set("tackle", list);
  }

  /** What is sent. */
  function collect() {
    const set = mine();
    if (!set) return null;
    const undecided = [...open.values()].find((each) => !each.choice());
    if (undecided) {
      undecided.fault();
      return null;
    }
    if (!set.size) {
      act.tell(
        "Nothing is changed.",
        merged.length
          ? "What is on record now is what you see; there is nothing of yours left to send."
          : "Type over what is to be changed.",
      );
      return null;
    }
    const isNew = !Object.keys(base?.record ?? {}).length;
    const called = fresh ? String(set.get("name") ?? "") : name;
    if (isNew && !called) return fault(/** @type {Field} */ (fields.get("name")).input, "Please fill this in.");
    if (isNew) set.set("name", called);
    return { noun, name: called, ...(isNew && { new: true }), set: Object.fromEntries([...set].map(([at, value]) => [at, value])) };
  }

  /** @param {Refusal} refusal @returns {Promise<boolean | "again">} */
  async function refused(refusal) {
    if (refusal.status !== 412 || !base || fresh) return false;
    const set = mine();
    if (!set) return true;
    /** @type {RecordAnswer} */
    let now;
    try {
      now = await ask(path);
    } catch (problem) {
      const gone = problem instanceof Refusal && problem.status === 404;
      act.tell(
        gone ? `${nounWords(noun, name)} is no longer on record.` : "It has been changed meanwhile.",
        gone ? byWhom(lastChange(refusal.changed)) : sentence(/** @type {Error} */ (problem).message),
        "What you typed is kept above.",
      );
      return true;
    }
    const result = merge(base.record, set, now.record);
    base = now;
    rebase();
    merged = [...merged, ...result.theirs.map((each) => theirsWords(each, refusal.changed))];
    showClashes(result.clashes, refusal.changed);
    if (!result.clashes.length && !result.near && ++merges <= MAX_MERGES) return "again";
    tellMerged(result.clashes.length, result.shifted && !set.has("tackle"));
    page.refresh();
    return true;
  }

  /** @param {Change[]} changes */
  const lastChange = (changes) => changes.filter((each) => each.noun === noun && each.name === name).at(-1) ?? null;

  function rebase() {
    const record = /** @type {RecordAnswer} */ (base).record;
    for (const field of tackle.rebase(partsOf(record))) keep(field.path, field);
    const paths = specsOf(record)
      .flatMap((group) => group.fields.map((each) => each.path))
      .filter((at) => settable(base?.may ?? null, at));
    // Other fields than before.
    if (paths.length !== fields.size || paths.some((at) => !fields.has(at))) build();
    for (const [at, field] of fields) field.rebase(valueAt(record, at));
  }

  /** @param {import("../core/recordtypes").Clash[]} all @param {Change[]} changes */
  function showClashes(all, changes) {
    open = new Map(
      all.map((editConflict) => {
        const typed = fieldAt(editConflict.path)?.text() ?? "";
        return [
          editConflict.path,
          clashBox(page, noun, editConflict, lastOf(changes, noun, name, editConflict.path), (choice) => {
            if (editConflict.path === "tackle")
              return choice === "mine"
                ? tackle.lay(partsOf({ tackle: editConflict.mine ?? null }), false)
                : tackle.lay(partsOf(base?.record ?? {}), true);
            const field = fieldAt(editConflict.path);
            if (choice === "mine") {
              field ? field.type(typed) : orphans.set(editConflict.path, editConflict.mine ?? null);
              return;
            }
            field ? field.untype() : orphans.delete(editConflict.path);
          }),
        ];
      }),
    );
    put(clashes, ...[...open.values()].map((each) => each.box));
  }

  /** @param {{path: string, before: Value | undefined, after: Value | undefined}} change @param {Change[]} changes */
  function theirsWords({ path: at, before, after }, changes) {
    const units = page.units();
    const change = lastOf(changes, noun, name, at);
    return `${fieldWords(noun, at)}: ${valueWords(noun, at, before, units)} → ${valueWords(noun, at, after, units)} (${byWhom(change)})`;
  }

  /** @param {number} clashing @param {boolean} shifted */
  function tellMerged(clashing, shifted) {
    const lines = [
      clashing
        ? `${count(clashing, "field was", "fields were")} changed by both. Choose for each which is to stand; ` +
          "nothing of yours is lost until then."
        : "What you typed is kept, and what they changed is in it. Look at it once more, then save it.",
      shifted && "The tackle has other parts in other places than before: look whether yours still mean the same part.",
      merged.length &&
        el(
          "div",
          {},
          el("p", {}, "Changed by others, and merged:"),
          el("ul", { class: "reasons" }, ...merged.map((each) => el("li", {}, each))),
        ),
    ].filter((each) => each !== false && each !== 0);
    act.tell("Somebody else has changed this record meanwhile.", ...lines);
    clashes.querySelector("input")?.focus({ preventScroll: true });
    clashes.scrollIntoView({ block: "nearest" });
  }

  fetchIt();
  return {
    box,
    /** Other units. */
    rewrite() {
      for (const field of fields.values()) field.rewrite();
      tackle.rewrite();
      for (const each of open.values()) each.rewrite();
    },
    /** Somebody else has changed something. @param {News} news */
    news({ who, why, changed }) {
      if (!base || !(changed ?? []).some((each) => each.noun === noun && each.name === name)) return;
      meanwhile.hidden = false;
      meanwhile.textContent =
        `${who || "Somebody"} has changed this record just now${why ? ": " + why : ""}. ` +
        "What you typed is kept; when you save it, both are laid side by side.";
    },
  };
}
