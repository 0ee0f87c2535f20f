// What if: an area under another rule or tackle, held against the area as it is: in figures, as lists, and on the map. Nothing of it is
// saved.
/** @import { Changed, Gained, MooringCollection, Page, Units, WhatIf } from "../core/types" */
import { refusalAnswer } from "../controls/refusal.js";
import { searching } from "../controls/searchprogress.js";
import { troubleRow } from "../controls/troubles.js";
import { ask, faultIn, harborPath } from "../core/api.js";
import { buoysOf } from "../core/data.js";
import { byId, el, put, svg } from "../core/dom.js";
import { drawChanged } from "../map/whatifchart.js";
import { count, sentence } from "../words/names.js";
import { changeWords, gainedWords, sidesTable } from "../words/whatif.js";
import { changeForm } from "./whatifform.js";

/** @typedef {{is: WhatIf, gained: Gained | null}} Answer */

/** So much of an answer has to be seen without scrolling. */
const MIN_SEEN_PX = 320;
/** What the switch shows. @type {[Changed["mode"], string][]} */
const MODES = [
  ["is", "As it is"],
  ["would", "With the change"],
  ["both", "Both"],
];

/**
 * @param {Page} page
 * @param {{chart: Pick<import("../map/chart.js").Chart, "drawChange">, view: import("../map/map.js").MapView, framed: boolean}} by
 *   `framed`: the address says which part of the map is shown
 */
export function whatIf(page, { chart, view, framed }) {
  const { store, scene } = page;
  const form = /** @type {HTMLFormElement} */ (byId("form-free"));
  const told = el("section", { id: "free-answer", class: "form-answer", "aria-label": "What it would free" });
  const fields = changeForm(page, form, told);
  chart.drawChange(drawChanged);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const query = fields.read();
    if (!query) return;
    asked = "";
    still = false;
    store.set({ sought: { answer: "what_if", query } });
    render();
  });

  /** What was asked, as text; empty while nothing is. */
  let asked = "";
  let still = framed;
  /** @type {Answer | null} */
  let answer = null;
  /** @type {Changed | null} */
  let changed = null;
  let coming = new AbortController();
  /** @type {ReturnType<typeof searching> | null} */
  let search = null;
  /** @type {() => Node[]} */
  let written = () => [];

  /** The map draws the change as it is now. */
  const publish = () => scene.set({ change: changed && { ...changed } });

  /** @param {() => Node[]} make */
  function write(make) {
    written = make;
    put(told, ...make());
  }

  /** Shows what the view holds, and asks when it is another change than before. */
  function render() {
    if (store.get().panel !== "free") return leave();
    const { sought } = store.get();
    if (sought?.answer !== "what_if") return asked ? leave() : undefined;
    const { like: _like, ...change } = sought.query;
    const next = JSON.stringify(change);
    if (next === asked) return;
    asked = next;
    fields.fill(sought.query);
    find(change, sought.query.like);
  }

  function leave() {
    coming.abort();
    search?.away();
    search = null;
    asked = "";
    answer = null;
    write(() => []);
    if (!changed) return;
    changed = null;
    publish();
  }

  /** @param {Record<string, string>} change @param {string} [like] of which mooring's boat the places are counted too */
  async function find(change, like) {
    coming.abort();
    search?.away();
    coming = new AbortController();
    const { signal } = coming;
    const path = (/** @type {string} */ noun) => harborPath(page.data.info.slug, noun);
    write(() => [el("p", { class: "quiet" }, "Working the area out anew …")]);
    try {
      /** @type {[WhatIf, MooringCollection]} */
      const [is, moorings] = await Promise.all([ask(path("what_if"), change, signal), ask(path("what_if/moorings"), change, signal)]);
      if (signal.aborted) return;
      answer = { is, gained: null };
      const buoys = buoysOf(moorings, page.data.info);
      changed = {
        buoys,
        byNumber: new Map(buoys.map((each) => [each.number, each])),
        area: change.area,
        added: is.new ?? [],
        gone: is.gone ?? [],
        mode: changed?.mode ?? "both",
        pair: null,
      };
      publish();
      if (!still) view.showPlaces(buoys.filter((each) => each.area === change.area));
      write(() => answerOf(change));
      // An answer that stands below the fold is no answer.
      if (told.getBoundingClientRect().top + MIN_SEEN_PX > innerHeight) told.scrollIntoView({ block: "start" });
      page.say(`${changeWords(change, page.units())}: ${is.words}.`);
      if (like !== undefined) gain(change, like);
    } catch (fault) {
      if (!signal.aborted) refuse(/** @type {Error} */ (fault), () => find(change, like));
    }
  }

  /** @param {Error} fault @param {() => void} again */
  function refuse(fault, again) {
    write(() => {
      const { title, make } = refusalAnswer(fault, page, again);
      return [el("h2", {}, title), ...make()];
    });
    page.say(sentence(faultIn(fault, page.units())));
  }

  /** @param {Record<string, string>} change @returns {Node[]} */
  function answerOf(change) {
    if (!answer || !changed) return [];
    const { is } = answer;
    const units = page.units();
    return [
      el("h2", {}, changeWords(change, units)),
      el("p", {}, sentence(is.words), " ", el("strong", {}, "Nothing of it is saved.")),
      sidesTable(is, units),
      modePart(),
      conflictPart("New conflicts", is.new ?? []),
      conflictPart("Conflicts that would be gone", is.gone ?? []),
      gainPart(change, units),
    ];
  }

  function modePart() {
    return el(
      "div",
      { class: "modes" },
      el(
        "div",
        { class: "choice wide", role: "group", "aria-label": "What the map shows" },
        ...MODES.map(([mode, words]) =>
          el(
            "button",
            { type: "button", id: "free-" + mode, "aria-pressed": String(changed?.mode === mode), click: () => show(mode) },
            words,
          ),
        ),
      ),
      el("p", { class: "key" }, el("span", {}, sample("is"), "as it is"), el("span", {}, sample("would"), "with the change")),
    );
  }

  /** @param {Changed["mode"]} mode */
  function show(mode) {
    if (!changed) return;
    changed.mode = mode;
    for (const [each] of MODES) byId("free-" + each).setAttribute("aria-pressed", String(each === mode));
    publish();
  }

  /** @param {string} title @param {NonNullable<WhatIf["new"]>} conflicts */
  function conflictPart(title, conflicts) {
    if (!conflicts.length) return el("p", { class: "quiet" }, `${title}: none.`);
    return el(
      "details",
      { open: conflicts.length <= 5 },
      el("summary", {}, `${title}: ${conflicts.length.toLocaleString("en")}`),
      el(
        "ul",
        { class: "rows" },
        ...conflicts.map((conflict) =>
          el(
            "li",
            {},
            el(
              "button",
              { type: "button", class: "row", click: () => point(conflict.a, conflict.b, conflicts === answer?.is.new) },
              ...troubleRow({ conflict }, page),
            ),
          ),
        ),
      ),
    );
  }

  /** @param {string} a @param {string} b @param {boolean} added */
  function point(a, b, added) {
    if (!changed) return;
    changed.pair = [a, b];
    // What there would be is seen with the change only, what would be gone without it.
    if (changed.mode === (added ? "is" : "would")) show("both");
    view.showPair(a, b);
    publish();
  }

  /** @param {Record<string, string>} change @param {Units} units */
  function gainPart(change, units) {
    const like = el("input", {
      id: "free-like",
      name: "like",
      autocomplete: "off",
      autocapitalize: "off",
      placeholder: "the area's middle one",
      value: answer?.gained?.like ?? store.get().sought?.query.like ?? "",
    });
    return el(
      "div",
      { class: "gain" },
      el("label", { for: "free-like" }, "Places for boats like that of mooring", like),
      el(
        "button",
        { type: "button", class: "plain", id: "free-count", click: () => gain(change, like.value.trim()) },
        "Count the places gained",
      ),
      search
        ? search.box
        : answer?.gained
          ? el("p", { id: "free-gained" }, ...gainedWords(answer.gained, units))
          : el("p", { hidden: true }),
    );
  }

  /** @param {Record<string, string>} change @param {string} like */
  async function gain(change, like) {
    if (!answer) return;
    const { is } = answer;
    const { signal } = coming;
    search?.away();
    const mine = (search = searching(page, "Counting the places before and after"));
    write(() => answerOf(change));
    try {
      /** @type {Gained} */
      const gained = await mine.run(harborPath(page.data.info.slug, "what_if/gained"), { ...change, like });
      if (mine !== search || signal.aborted) return;
      search = null;
      answer = { is, gained };
      store.set({ sought: { answer: "what_if", query: { ...change, like: gained.like } } });
      write(() => answerOf(change));
      byId("free-gained").scrollIntoView({ block: "nearest" });
      page.say(byId("free-gained").textContent ?? "");
    } catch (fault) {
      if (mine !== search || signal.aborted) return;
      search = null;
      const words = sentence(faultIn(/** @type {Error} */ (fault), page.units()));
      write(() => [
        ...answerOf(change),
        el(
          "div",
          { class: "refusal", role: "alert" },
          el("p", {}, words),
          el("p", {}, `${count(is.after.conflicts, "conflict")} with the change stay told above.`),
        ),
      ]);
    }
  }

  store.subscribe(["units"], () => {
    if (asked) write(written);
  });
  // The harbor has changed: it is worked out anew, and the map stays where it is.
  scene.subscribe(["moorings"], () => {
    const { sought } = store.get();
    if (!asked || !sought) return;
    still = true;
    asked = "";
    render();
  });

  return {
    render,
    focus: fields.focus,
  };
}

/** A line as the map draws it. @param {"is" | "would"} which */
function sample(which) {
  return svg(
    "svg",
    { class: "icon change-line " + which, viewBox: "0 0 36 12", width: 36, height: 12, "aria-hidden": "true" },
    svg("path", { d: "M1 6h34" }),
  );
}
