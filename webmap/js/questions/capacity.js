// Capacity: how many more boats of one size fit in an area by a layout, where, and a number that no layout beats.
/** @import { Capacity, Page, Position, WaterShown } from "../core/types" */
import { refusalAnswer } from "../controls/refusal.js";
import { searching } from "../controls/searchprogress.js";
import { ask, faultIn, harborPath } from "../core/api.js";
import { el } from "../core/dom.js";
import { download } from "../core/download.js";
import { afresh, capacityTitle, figuresOf, layoutWords, positionsCSV, positionsGeoJSON } from "../words/capacity.js";
import { count, sentence } from "../words/names.js";
import { ddm, length } from "../words/units.js";
import { mark, placeActions, unmeasured } from "./numberedplaces.js";
import { boatOf } from "./openwaterform.js";

/** How far the boat swings at each place is asked of so many places at a time. */
const AT_A_TIME = 4;

/**
 * @param {Page} page
 * @param {{marks: ReturnType<typeof import("./numberedplaces.js").numberedPlaces>, showAll(points: Position[]): void}} callbacks
 */
export function howManyMore(page, { marks, showAll }) {
  let gone = new AbortController();
  /** @type {ReturnType<typeof searching> | null} */
  let search = null;
  let own = false;

  /**
   * The answer box takes whatever stood in it away, which must not end the search whose progress or whose places it is to show.
   * @param {string} title
   * @param {() => Node[]} make
   */
  function write(title, make) {
    own = true;
    page.answer(title, make);
    own = false;
  }

  /**
   * @param {Record<string, string>} query
   * @param {() => void} begun
   * @returns {Promise<void>} a question that the service does not take is thrown
   */
  async function find(query, begun) {
    away();
    const mine = (search = searching(page, "Counting the places"));
    const { signal } = gone;
    let under = false;
    try {
      /** @type {Capacity} */
      const found = await mine.run(harborPath(page.data.info.slug, "capacity"), query, () => {
        under = true;
        write("How many more fit?", () => [mine.box]);
        begun();
      });
      if (signal.aborted) return;
      show(found, query, begun);
      begun();
    } catch (fault) {
      if (signal.aborted) return;
      if (!under) throw fault;
      const { title, make } = refusalAnswer(/** @type {Error} */ (fault), page, () => again(query, begun));
      write(title, make);
      page.say(sentence(faultIn(/** @type {Error} */ (fault), page.units())));
    }
  }

  /** @param {Record<string, string>} query @param {() => void} begun */
  async function again(query, begun) {
    try {
      await find(query, begun);
    } catch (fault) {
      const { title, make } = refusalAnswer(/** @type {Error} */ (fault), page, () => again(query, begun));
      write(title, make);
    }
  }

  /** @param {Capacity} found @param {Record<string, string>} query @param {() => void} begun */
  function show(found, query, begun) {
    const positions = found.positions ?? [];
    const title = capacityTitle(found, query.area);
    /** @type {WaterShown} */
    const next = {
      spots: unmeasured(positions),
      fits: true,
      chosen: -1,
      water: null,
      boat: boatOf(query),
      moved: movedOf(found),
      instead: afresh(found.layout) ? query.area : "",
    };
    /** @param {number} i */
    const actions = (i) =>
      next.instead ? null : placeActions(page, () => ({ at: positions[i], query: classOf(query), clearance_m: null, limit: null }));
    write(title, () => answerOf(found, next, { query, actions, begun }));
    const { signal } = gone;
    marks.set(next, actions);
    if (positions.length) showAll(positions);
    page.say(`${title}. ${found.ended ? "Stopped: the best so far." : ""}`);
    measure(next, query, signal);
  }

  /**
   * @param {Capacity} found
   * @param {WaterShown} next
   * @param {{query: Record<string, string>, actions(i: number): Node | null, begun(): void}} asked
   * @returns {Node[]}
   */
  function answerOf(found, next, { query, actions, begun }) {
    const units = page.units();
    const positions = found.positions ?? [];
    const moved = found.moved ?? [];
    const unplaced = found.unplaced ?? [];
    const list = marks.list(
      next,
      "The places, from north to south",
      (i) => [mark(i, true), el("span", { class: "title" }, ddm(positions[i]))],
      actions,
    );
    const name = `${query.area} ${count(found.count, "place")}`.replaceAll("\u00a0", " ");
    return [
      found.ended &&
        el(
          "div",
          { class: "refusal stopped" },
          el("p", {}, el("strong", {}, "Stopped. "), "This is the best that had been found until then; there may be room for more."),
          el("button", { type: "button", click: () => again(query, begun) }, "Count to the end"),
        ),
      el("p", {}, layoutWords(found, query.area)),
      figuresOf(found, units),
      el(
        "details",
        {},
        el(
          "summary",
          {},
          found.count < found.upper_bound ? `Why no layout takes more than ${found.upper_bound}` : "Why no layout takes more",
        ),
        el("p", { class: "quiet" }, sentence(found.bound[units])),
      ),
      unplaced.length > 0 && el("p", { class: "fault" }, `No other place was found for ${unplaced.join(", ")}: all stay where they are.`),
      moved.length > 0 &&
        el(
          "ul",
          { class: "rows", "aria-label": "Moorings that are moved" },
          ...moved.map((each) =>
            el(
              "li",
              {},
              el(
                "button",
                { type: "button", class: "row", click: () => page.point(each.position) },
                el("span", {}, "↷"),
                el("span", { class: "title" }, `${each.number} is moved`),
                el("span", { class: "figure" }, length(each.by_m, units)),
                el("span", { class: "words" }, ddm(each.position)),
              ),
            ),
          ),
        ),
      positions.length > 0 &&
        el(
          "div",
          { class: "buttons" },
          el(
            "button",
            { type: "button", class: "plain", click: () => download(name + ".csv", "text/csv", positionsCSV(found, query, units)) },
            "Positions as CSV",
          ),
          el(
            "button",
            { type: "button", class: "plain", click: () => download(name + ".geojson", "application/geo+json", positionsGeoJSON(found)) },
            "As GeoJSON",
          ),
        ),
      list,
    ].filter((each) => each instanceof Node);
  }

  /** @param {Capacity} found @returns {WaterShown["moved"]} */
  function movedOf(found) {
    return (found.moved ?? []).flatMap((each) => {
      const from = page.data.byNumber.get(each.number);
      return from ? [{ from, to: each.position, radius_m: from.radius_m }] : [];
    });
  }

  /**
   * The answer says where the anchors stand, not how far the boat swings there, which hangs on the depth: that is asked place by place, and
   * drawn as it comes.
   * @param {WaterShown} shown @param {Record<string, string>} query @param {AbortSignal} signal
   */
  async function measure(shown, query, signal) {
    let next = 0;
    const one = async () => {
      while (next < shown.spots.length && !signal.aborted) {
        const spot = shown.spots[next++];
        const at = spot.position;
        try {
          spot.radius_m = (
            await ask(
              harborPath(page.data.info.slug, "spot"),
              { ...classOf(query), position: `${at.lat_deg.toFixed(8)}, ${at.lon_deg.toFixed(8)}` },
              signal,
            )
          ).radius_m;
        } catch {
          return; // the numbered mark is there all the same
        }
        if (!signal.aborted) marks.again();
      }
    };
    await Promise.all(Array.from({ length: AT_A_TIME }, one));
  }

  /** Nobody is waiting for it any more. */
  function away() {
    if (own) return;
    search?.away();
    search = null;
    gone.abort();
    gone = new AbortController();
  }

  return { find, away };
}

/** The boat, area and tackle of what was asked. @param {Record<string, string>} query */
function classOf({ layout: _layout, move: _move, ...rest }) {
  return rest;
}
