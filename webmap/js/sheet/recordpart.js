// Record part: what is on record of a mooring beside its water: owner, permit, dates of the tackle, note; and the forms by which that is
// changed.
/** @import { ActionResult, Page, Part, Sheet, Units } from "../core/types" */
/** @import { News, Noun, Owner } from "../core/recordtypes" */
import { disclosure } from "../controls/disclosure.js";
import { el, put, renew } from "../core/dom.js";
import { sentence } from "../words/names.js";
import { partWords } from "../words/record.js";
import { dayWords } from "../words/times.js";
import { recordForm } from "./recordform.js";
import { figures } from "./tackle.js";

/**
 * A record's form that unfolds.
 * @param {Page} page
 * @param {string} label
 * @param {Noun} noun
 * @param {string} name
 * @param {(words: string[]) => void} saved
 */
export function changing(page, label, noun, name, saved) {
  /** @type {ReturnType<typeof recordForm> | null} */
  let form = null;
  const fold = disclosure(label, () => {
    form = recordForm(page, noun, name, async (acted, merged) => {
      fold.away();
      form = null;
      saved(savedWords(acted, merged, page.units()));
      await page.refresh();
    });
    return form.box;
  });
  return {
    ...fold,
    name,
    rewrite() {
      form?.rewrite();
    },
    news(/** @type {News} */ news) {
      form?.news(news);
    },
  };
}

/** @param {ActionResult} acted @param {string[]} merged @param {Units} units @returns {string[]} */
function savedWords({ words }, merged, units) {
  return [sentence(words[units]), ...(merged.length ? ["Changed by others meanwhile, and on record as well:", ...merged] : [])];
}

/** @param {Page} page */
export function createRecord(page) {
  const box = el("section", { id: "record" });
  const title = el("h3", {}, "On record");
  const named = el("div", { class: "facts" });
  const facts = el("div", { class: "facts" });
  const contact = el("div", { class: "facts" });
  const dates = el("div", { class: "facts" });
  const told = el("div", { class: "told saved", role: "status" });
  /** @type {Map<string, ReturnType<typeof changing>>} by noun */
  const kept = new Map();

  /** @param {string[]} words */
  function saved(words) {
    put(told, ...words.map((each) => el("p", {}, each)));
    page.say(words.join(" "));
  }

  /** @param {string} label @param {Noun} noun @param {string} name */
  function fold(label, noun, name) {
    const had = kept.get(noun);
    if (had?.name === name) return had;
    const made = changing(page, label, noun, name, saved);
    kept.set(noun, made);
    return made;
  }

  return {
    /** @param {Sheet} sheet */
    part(sheet) {
      const { number, boat, permit, tackle, note } = sheet.mooring;
      const owner = boat?.owner ?? "";
      const { me } = page;
      const shown = (/** @type {([string, string] | false)[]} */ ...rows) => figures(rows.filter((each) => each !== false));
      put(named, shown(owner !== "" && ["Owner", owner]));
      put(
        facts,
        shown(
          Boolean(permit?.year) && ["Permit for", String(permit?.year)],
          Boolean(permit?.expires) && ["Permit's last day", expiryWords(permit?.expires ?? "")],
        ),
        note && el("p", { class: "note-text" }, note),
        !owner &&
          !permit?.year &&
          !permit?.expires &&
          !note &&
          el(
            "p",
            { class: "quiet" },
            me.canSignIn()
              ? "Names, permits and notes are shown to those who are signed in."
              : boat
                ? "Neither owner nor permit nor note is on record."
                : "Neither permit nor note is on record.",
          ),
      );
      put(dates, ...datesParts(tackle ?? []));
      put(contact, ...(sheet.owner ? contactParts(sheet.owner) : []));
      const folds = [];
      const opened = (/** @type {Noun} */ noun) => Boolean(kept.get(noun)?.isOpen());
      // Whoever has been signed out meanwhile keeps the form that they were typing in.
      if (opened("mooring") || me.may("moorings") || me.may("tackle") || me.may("inspections") || me.may("positions"))
        folds.push(fold("Change the record", "mooring", number));
      if (owner && (opened("owner") || me.may("owners"))) folds.push(fold("Change the owner", "owner", owner));
      renew(box, [
        title,
        named,
        contact,
        facts,
        dates,
        told,
        ...(folds.length ? [el("div", { class: "buttons" }, ...folds.map(({ button }) => button))] : []),
        ...folds.map((each) => each.box),
      ]);
      return box;
    },
    /** Other units. */
    rewrite() {
      for (const each of kept.values()) each.rewrite();
    },
    /** @param {News} news */
    news(news) {
      for (const each of kept.values()) each.news(news);
    },
    forget() {
      kept.clear();
      put(told);
    },
  };
}

/** @param {string} date */
function expiryWords(date) {
  return dayWords(date) + (date < new Date().toISOString().slice(0, 10) ? ", over" : "");
}

/** @param {Owner} owner @returns {Node[]} */
export function contactParts({ phone, email, address, resident, note }) {
  const link = (/** @type {string} */ address, /** @type {string} */ words) => el("a", { href: address }, words);
  /** @type {[string, Node | string][]} */
  const rows = [];
  if (phone) rows.push(["Phone", link("tel:" + phone.replace(/[^+\d]/g, ""), phone)]);
  if (email) rows.push(["Email", link("mailto:" + encodeURIComponent(email), email)]);
  if (address) rows.push(["Address", address]);
  if (resident !== null && resident !== undefined) rows.push(["Lives in the town", resident ? "yes" : "no"]);
  return [
    ...(rows.length
      ? [el("dl", { class: "figures" }, ...rows.map(([name, value]) => el("div", {}, el("dt", {}, name), el("dd", {}, value))))]
      : []),
    ...(note ? [el("p", { class: "note-text" }, note)] : []),
  ];
}

/** When each part of the tackle was installed and last inspected. @param {Part[]} tackle @returns {Node[]} */
function datesParts(tackle) {
  const known = tackle.filter((part) => part.installed || part.inspected || part.left !== undefined);
  if (!known.length) return [];
  const row = (/** @type {Part} */ part) =>
    el(
      "tr",
      {},
      el("th", { scope: "row" }, partWords(part.kind)),
      el("td", {}, part.installed || "–"),
      el("td", {}, part.inspected || "–"),
      el("td", {}, part.left === undefined || part.left === null ? "–" : Math.round(part.left * 100) + "\u00a0%"),
    );
  return [
    el(
      "div",
      { class: "sideways" },
      el(
        "table",
        { class: "dates" },
        el(
          "thead",
          {},
          el(
            "tr",
            {},
            el("th", { scope: "col" }, "Tackle"),
            el("th", { scope: "col" }, "installed"),
            el("th", { scope: "col" }, "inspected"),
            el("th", { scope: "col" }, "size left"),
          ),
        ),
        el("tbody", {}, ...known.map(row)),
      ),
    ),
  ];
}
