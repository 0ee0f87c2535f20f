// Waiting: who is next. The waiting list held against the vacant moorings, or a place at which one may be set: a proposal, of which nothing
// is saved.
/** @import { Offer, Page, PlaceToTake, Serving } from "../core/types" */
import { disclosure } from "../controls/disclosure.js";
import { refusalAnswer } from "../controls/refusal.js";
import { searching } from "../controls/searchprogress.js";
import { rowParts } from "../controls/troubles.js";
import { faultIn, harborPath } from "../core/api.js";
import { byId, el, put } from "../core/dom.js";
import { doubtIcon, fitsIcon, hazardIcon, stateIcon } from "../core/icons.js";
import { actionForm, whenDone } from "../sheet/actions.js";
import { sentence } from "../words/names.js";
import { length } from "../words/units.js";
import { offersInOrder, servedWords, sinceWords } from "../words/waiting.js";
import { waitingList } from "./waitinglist.js";

/** @param {Page} page */
export function waiting(page) {
  const { store, scene } = page;
  const form = byId("form-next");
  const told = el("section", { id: "next-answer", class: "form-answer", "aria-label": "Who is next" });
  const list = waitingList(page);
  put(
    form,
    el(
      "p",
      { class: "quiet" },
      "The waiting list, by date, compared with every vacant mooring. A proposal: the harbormaster assigns, " +
        "and nothing is saved until a mooring is given.",
    ),
    list.render(),
    told,
  );
  form.addEventListener("submit", (event) => event.preventDefault());

  /** @type {ReturnType<typeof searching> | null} */
  let search = null;
  /** @type {Serving | null} */
  let serving = null;
  /** What was asked, as text; empty while the form is closed. */
  let asked = "";
  /** @type {"moorings" | "people"} */
  let by = "moorings";
  /** @type {() => Node[]} */
  let written = () => [];

  /** @returns {Record<string, string>} */
  const query = () => (store.get().sought?.answer === "waiting" ? (store.get().sought?.query ?? {}) : {});

  /** @param {() => Node[]} make */
  function write(make) {
    const held = /** @type {HTMLElement | null} */ (document.activeElement);
    written = make;
    put(told, ...make());
    // What is open is put back as it was, and so is whoever types in it.
    if (held && held !== document.activeElement && told.contains(held)) held.focus({ preventScroll: true });
  }

  /** Shows what the view holds, and asks when it is something else than before. */
  function render() {
    if (store.get().panel !== "next") return leave();
    list.render();
    const next = JSON.stringify(query());
    if (next === asked) return;
    asked = next;
    find();
  }

  function leave() {
    search?.away();
    search = null;
    asked = "";
  }

  async function find() {
    search?.away();
    const mine = (search = searching(page, "Trying the list on the moorings"));
    const of = query();
    const shown = list.isOpen() && by === "people" && serving ? written : null;
    write(() => [mine.box, ...(shown?.() ?? [])]);
    try {
      const came = await mine.run(harborPath(page.data.info.slug, "waiting"), of);
      if (mine !== search) return;
      serving = came;
      write(() => answerOf(of));
      page.say(servedWords(came) + ".");
      if (of.open) openings().forEach((each) => page.point(each.position));
    } catch (fault) {
      if (mine !== search) return;
      write(() => {
        const { title, make } = refusalAnswer(/** @type {Error} */ (fault), page, find);
        return [el("h2", {}, title), ...make()];
      });
      page.say(faultIn(/** @type {Error} */ (fault), page.units()));
    }
  }

  const openings = () => (serving?.offers ?? []).filter((each) => each.open);

  /** @param {Record<string, string>} of @returns {Node[]} */
  function answerOf(of) {
    if (!serving) return [];
    const given = serving.given ?? [];
    const open = openings();
    const moorings = offersInOrder(serving).filter((each) => !each.open);
    const tab = (/** @type {typeof by} */ name, /** @type {string} */ words) =>
      el(
        "button",
        {
          type: "button",
          id: "next-by-" + name,
          "aria-pressed": String(by === name),
          click: () => {
            by = name;
            write(written);
            byId("next-by-" + name).focus();
          },
        },
        words,
      );
    return [
      el("h2", {}, servedWords(serving)),
      serving.ended &&
        el(
          "div",
          { class: "refusal stopped" },
          el("p", {}, el("strong", {}, "Stopped. "), "Who was not tried by then counts as fitting nowhere."),
          el("button", { type: "button", click: find }, "Try them all"),
        ),
      ...open.map((each) => openingPart(each, of)),
      !given.length &&
        el(
          "p",
          {},
          `Nobody is on the waiting list. ${page.me.may("waiting") ? "Put somebody on it above, or put" : "Put"} a waiting.csv ` +
            "into the harbor's folder and import it.",
        ),
      el(
        "div",
        { class: "choice wide", role: "group", "aria-label": "In which order" },
        tab("moorings", "By mooring"),
        tab("people", "The whole list"),
      ),
      by === "moorings"
        ? moorings.length
          ? el(
              "ul",
              { class: "rows", "aria-label": "Vacant moorings, and who is first for each" },
              ...moorings.map((each) => offerItem(each)),
            )
          : el("p", {}, "No mooring is vacant.")
        : el("ol", { class: "rows", "aria-label": "The whole list, by date" }, ...given.map((each, i) => givenItem(each, i))),
    ].filter((each) => each instanceof Node);
  }

  /** @param {Offer} offer */
  function passedPart({ passed }) {
    const over = passed ?? [];
    return (
      over.length > 0 &&
      el(
        "details",
        { class: "passed" },
        el("summary", {}, `${over.length.toLocaleString("en")} ahead`),
        el("ul", {}, ...over.map((each) => el("li", {}, el("strong", {}, each.name), " ", each.words[page.units()]))),
      )
    );
  }

  /** A place at which no mooring lies yet. @param {Offer} offer @param {Record<string, string>} of */
  function openingPart(offer, of) {
    /** @type {() => PlaceToTake} */
    const place = () => ({ at: offer.position, query: { ...of, area: offer.area }, clearance_m: null, limit: null, waiting: offer.name });
    return el(
      "div",
      { class: "opening" },
      el(
        "button",
        { type: "button", class: "row", click: () => page.point(offer.position) },
        ...rowParts(
          offer.name ? fitsIcon() : hazardIcon(),
          offer.name || "Nobody on the list fits",
          [offer.name && "first who fits at the place asked for", sinceWords(offer.since), offer.area].filter(Boolean).join(" · "),
          takes(offer),
        ),
      ),
      passedPart(offer),
      offer.name !== "" &&
        page.me.may("moorings") &&
        el("button", { type: "button", class: "primary", click: () => page.take(place()) }, `Take it for ${offer.name}`),
    );
  }

  /** @param {Offer} offer */
  function takes({ mooring }) {
    const largest = serving?.largest_m?.[mooring];
    return largest ? "to " + length(largest, page.units()) : "";
  }

  /** @param {Offer} offer */
  function offerItem(offer) {
    return el(
      "li",
      {},
      el(
        "button",
        { type: "button", class: "row", click: () => page.open(offer.mooring) },
        ...rowParts(
          stateIcon(page.data.byNumber.get(offer.mooring)?.look ?? "vacant"),
          `${offer.mooring} · ${offer.name || "nobody fits"}`,
          [sinceWords(offer.since), offer.area].filter(Boolean).join(" · "),
          takes(offer),
        ),
      ),
      passedPart(offer),
      ...givingPart(offer),
    );
  }

  /** The act by which the mooring is given to the first who fits. @param {Offer} offer @returns {Node[]} */
  function givingPart({ mooring, name }) {
    if (!name || !page.me.may("moorings")) return [];
    const { button, box } = disclosure(`Give it to ${name}`, () =>
      actionForm(
        { label: "Assign the mooring", act: "acts/assign", body: { number: mooring, waiting: name }, despite: true },
        page,
        whenDone(page),
      ),
    );
    return [el("div", { class: "giving" }, button, box)];
  }

  /** @param {import("../core/types").Given} given @param {number} i */
  function givenItem(given, i) {
    const units = page.units();
    const opening = openings().find((each) => each.mooring === given.mooring);
    const spare =
      given.spare_m === null ? "" : given.spare_m < 0.005 ? "no length to spare" : `${length(given.spare_m, units)} of length to spare`;
    const parts = rowParts(
      given.mooring ? fitsIcon() : doubtIcon(),
      `${i + 1}. ${given.name}`,
      [sinceWords(given.since), given.mooring ? spare : sentence(given.words)].filter(Boolean).join(" · "),
      given.mooring ? (opening ? "the place" : given.mooring) : "none",
    );
    if (!given.mooring) return el("li", {}, el("div", { class: "row" }, ...parts), list.part(given.name));
    return el(
      "li",
      {},
      el(
        "button",
        {
          type: "button",
          class: "row",
          click: () => {
            if (opening) page.point(opening.position);
            else page.open(given.mooring);
          },
        },
        ...parts,
      ),
      list.part(given.name),
    );
  }

  store.subscribe(["units"], () => {
    list.rewrite();
    if (asked) write(written);
  });
  scene.subscribe(["news"], ({ news }) => {
    if (news) list.news(news);
  });
  scene.subscribe(["moorings"], () => {
    if (asked) find();
  });

  return {
    render,
    focus() {
      /** @type {HTMLElement | null} */ (told.querySelector("button"))?.focus({ preventScroll: true });
    },
  };
}
