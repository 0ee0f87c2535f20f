// Tackle form: the tackle within the form of a mooring's record, part by part from anchor to bow: the fields of each, and parts that are
// added at their place, taken away or moved.
/** @import { Page } from "../core/types" */
/** @import { Value } from "../core/recordtypes" */
import { fault } from "../controls/lengths.js";
import { el, renew } from "../core/dom.js";
import { sameValue } from "../core/merge.js";
import { beside, partGroup, partWords } from "../words/record.js";
import { createField, unreadable } from "./recordfield.js";

/** @typedef {import("./recordfield.js").Field} Field */
/** @typedef {Record<string, Value>} Part */
/**
 * @typedef {{at: number, was: Part, fields: Field[], box: HTMLDetailsElement, title: HTMLElement, tools: Tools | null, gone: boolean}}
 *   Entry `at`: its place on record, from 1; 0: it is not there
 */
/** @typedef {{box: HTMLElement, down: HTMLElement, up: HTMLElement, after: HTMLElement, away: HTMLElement}} Tools */

let made = 0;

/** @param {Page} page @param {(path: string) => boolean} may whether a field may be set; that of the whole tackle is "tackle" */
export function tackleForm(page, may) {
  const box = el("div", { class: "tackle-form" });
  const empty = el(
    "div",
    { class: "buttons tackle-empty" },
    el("button", { type: "button", class: "plain", click: () => add(null) }, "Add a part of the tackle"),
  );
  /** As it stands on record. @type {Part[]} */
  let base = [];
  /** @type {Entry[]} */
  let entries = [];

  /** @param {Part} was @param {number} at @returns {Entry} */
  function entryOf(was, at) {
    const place = at || `+${++made}`;
    const title = el("span", {});
    const specs = partGroup(place, String(was.kind ?? ""), was).fields.filter((each) => (at ? may(each.path) : may("tackle")));
    const fields = specs.map((each) => createField(each, was[nameOf(each.path)], page));
    /** @type {Entry} */
    const entry = {
      at,
      was,
      fields,
      title,
      gone: false,
      tools: null,
      box: el("details", { class: "group", "data-group": `tackle[${place}]` }),
    };
    if (may("tackle")) entry.tools = toolsOf(entry);
    entry.box.append(
      el("summary", {}, title),
      el(
        "div",
        { class: "fields", role: "group", "aria-label": partWords(String(was.kind ?? "")) || "New part" },
        ...fields.map(({ label }) => label),
      ),
    );
    if (entry.tools) entry.box.append(entry.tools.box);
    const kind = fieldOf(entry, "kind");
    kind?.input.addEventListener("change", () => {
      asked(entry);
      write();
    });
    asked(entry);
    return entry;
  }

  /** @param {Entry} entry @returns {Tools} */
  function toolsOf(entry) {
    const button = (/** @type {string} */ words, /** @type {() => void} */ click) =>
      el("button", { type: "button", class: "plain", click }, words);
    const down = button("Move up", () => move(entry, -1));
    const up = button("Move down", () => move(entry, 1));
    const after = button("Add one after it", () => add(entry));
    const away = button("Remove", () => takeAway(entry));
    return { down, up, after, away, box: el("div", { class: "buttons" }, down, up, after, away) };
  }

  /** @param {Entry} entry @param {string} name */
  const fieldOf = (entry, name) => entry.fields.find(({ path }) => nameOf(path) === name);
  /** @param {Entry} entry */
  const kindOf = (entry) => fieldOf(entry, "kind")?.text() ?? String(entry.was.kind ?? "");

  /** Of a part that is added only what its kind has is asked. @param {Entry} entry */
  function asked(entry) {
    if (entry.at) return;
    for (const field of entry.fields)
      field.label.hidden =
        beside(kindOf(entry), nameOf(field.path)) && !field.isChanged() && (entry.was[nameOf(field.path)] ?? null) === null;
  }

  /** Numbers and titles; what stands there already is not touched. */
  function write() {
    const held = /** @type {HTMLElement | null} */ (document.activeElement);
    const stay = entries.filter(({ gone }) => !gone);
    for (const entry of entries) {
      const n = stay.indexOf(entry) + 1;
      const words = partWords(kindOf(entry)) || "new part";
      entry.title.textContent = entry.gone ? `Removed · ${words}` : `Tackle ${n} · ${words}`;
      entry.box.classList.toggle("gone", entry.gone);
      entry.box.classList.toggle("moved", !entry.gone && entry.at !== n);
      if (!entry.tools) continue;
      entry.tools.away.textContent = entry.gone ? "Put back" : "Remove";
      for (const each of [entry.tools.down, entry.tools.up, entry.tools.after]) each.hidden = entry.gone;
      entry.tools.down.setAttribute("aria-disabled", String(entries.indexOf(entry) === 0));
      entry.tools.up.setAttribute("aria-disabled", String(entries.at(-1) === entry));
    }
    renew(box, [...entries.map((each) => each.box), ...(entries.length || !may("tackle") ? [] : [empty])]);
    if (held && box.contains(held) && held !== document.activeElement) held.focus({ preventScroll: true });
  }

  /** @param {Entry} entry @param {number} by */
  function move(entry, by) {
    const from = entries.indexOf(entry);
    const to = from + by;
    if (to < 0 || to >= entries.length) return;
    entries.splice(from, 1);
    entries.splice(to, 0, entry);
    write();
    entry.box.scrollIntoView({ block: "nearest" });
    page.say(entry.title.textContent ?? "");
  }

  /** @param {Entry | null} after */
  function add(after) {
    const entry = entryOf({}, 0);
    entries.splice(after ? entries.indexOf(after) + 1 : 0, 0, entry);
    write();
    entry.box.open = true;
    fieldOf(entry, "kind")?.input.focus();
  }

  /** @param {Entry} entry */
  function takeAway(entry) {
    if (entry.at || entry.gone) entry.gone = !entry.gone;
    else entries = entries.filter((each) => each !== entry);
    write();
    page.say(entry.gone ? (entry.title.textContent ?? "") : "");
    if (!entry.box.isConnected) /** @type {HTMLElement | null} */ (box.querySelector("summary, button"))?.focus();
  }

  /** Whether parts were added, taken away or moved: then the whole tackle is sent. */
  function isWhole() {
    const stay = entries.filter(({ gone }) => !gone);
    return stay.length !== base.length || stay.some(({ at }, i) => at !== i + 1);
  }

  /** Lays parts as they stand on record, or others in their place. @param {Part[]} parts @param {boolean} onRecord */
  function lay(parts, onRecord) {
    if (onRecord) base = parts;
    entries = parts.map((part, i) => entryOf(part, onRecord ? i + 1 : 0));
    write();
  }

  return {
    box,
    isWhole,
    lay,
    /** The fields of the parts that are on record. @returns {Field[]} */
    fields: () => entries.filter(({ at }) => at > 0).flatMap(({ fields }) => fields),
    /** The whole of it, null where something cannot be read, which is then shown. @returns {Part[] | null} */
    read() {
      const list = [];
      for (const entry of entries.filter(({ gone }) => !gone)) {
        const part = { ...entry.was };
        for (const field of entry.fields) {
          if (!field.isChanged()) continue;
          const typed = field.read();
          if ("want" in typed) return unreadable(field, typed.want);
          part[nameOf(field.path)] = typed.value;
        }
        if (!part.kind) {
          entry.box.open = true;
          return fault(/** @type {Field} */ (fieldOf(entry, "kind")).input, "Say what it is.");
        }
        list.push(part);
      }
      return list;
    },
    /**
     * Something else stands on record now; what was typed over the same place stays, unless parts were moved: then it is to be chosen.
     * @param {Part[]} next
     * @returns {Field[]} what was typed of parts that are no more
     */
    rebase(next) {
      if (sameValue(base, next)) return [];
      const old = isWhole() ? [] : entries;
      lay(next, true);
      for (const { box: before, at } of old) if (before.open && entries[at - 1]) entries[at - 1].box.open = true;
      const now = new Map(entries.flatMap(({ fields }) => fields.map((each) => [each.path, each])));
      return old
        .flatMap(({ fields }) => fields)
        .filter((field) => {
          if (!field.isChanged()) return false;
          now.get(field.path)?.type(field.text());
          return !now.has(field.path);
        });
    },
    /** Other units. */
    rewrite() {
      for (const { fields } of entries) for (const each of fields) each.rewrite();
    },
  };
}

/** @param {string} path "tackle[2].size_m" */
const nameOf = (path) => path.slice(path.indexOf("].") + 2);
