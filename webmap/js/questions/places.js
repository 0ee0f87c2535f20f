// Places: the best places for a boat in an area, or where it fails by least, as a list and as what the map draws.
/** @import { Miss, OpenWater, Page, Position, Spot, SpotsAnswer, WaterShown } from "../core/types" */
import { ask, harborPath } from "../core/api.js";
import { el } from "../core/dom.js";
import { bound, freeingWords, limitWords, shortWords, waterWords } from "../words/openwater.js";
import { ddm, signed, waterArea } from "../words/units.js";
import { mark, placeActions } from "./numberedplaces.js";
import { boatOf } from "./openwaterform.js";

/** So many places are asked for. */
const COUNT = 5;
/** So far they lie apart: five in one gap would be one place told five times. */
const APART_M = 50;

/**
 * @param {Page} page
 * @param {{marks: ReturnType<typeof import("./numberedplaces.js").numberedPlaces>, showAll(points: Position[]): void}} callbacks
 */
export function bestPlaces(page, { marks, showAll }) {
  /**
   * @param {Record<string, string>} query @param {() => boolean} wanted whether nothing else has been asked meanwhile
   * @returns {Promise<boolean>} whether it is shown
   */
  async function find(query, wanted) {
    const slug = page.data.info.slug;
    /** @type {[SpotsAnswer, OpenWater]} */
    const [answer, water] = await Promise.all([
      ask(harborPath(slug, "spots"), { ...query, count: COUNT, apart_m: APART_M }),
      ask(harborPath(slug, "open_water"), query),
    ]);
    if (!wanted()) return false;
    const fits = Boolean(answer.spots?.length);
    const spots = (fits ? answer.spots : answer.misses) ?? [];
    const title = fits ? `Open water in ${answer.area}` : `The boat fits nowhere in ${answer.area}`;
    /** @type {WaterShown} */
    const next = { spots, fits, chosen: -1, water, boat: boatOf(query), moved: [], instead: "" };
    /** @param {number} i */
    const actions = (i) =>
      placeActions(page, () => ({ at: spots[i].position, query, clearance_m: spots[i].clearance_m, limit: spots[i].limits[0] ?? null }));
    page.answer(title, () => answerOf(next, spots, answer, actions));
    marks.set(next, actions);
    const ground = water.features.flatMap((each) => each.geometry.coordinates.flat(2)).map(([lon_deg, lat_deg]) => ({ lat_deg, lon_deg }));
    showAll([...ground, ...spots.map((each) => each.position)]);
    page.say(`${title}. ${answer.words[page.units()]}`);
    return true;
  }

  /** @param {WaterShown} now @param {Spot[]} spots @param {SpotsAnswer} answer @param {(i: number) => Node} actions @returns {Node[]} */
  function answerOf(now, spots, answer, actions) {
    const units = page.units();
    const area_m2 = now.water?.features[0]?.properties.area_m2 ?? 0;
    const list = marks.list(
      now,
      now.fits ? "The best places" : "Where the boat nearly fits",
      (i) => (now.fits ? spotRow(spots[i], i) : missRow(/** @type {Miss} */ (spots[i]), i)),
      actions,
    );
    return now.fits
      ? [el("p", {}, el("strong", {}, waterArea(area_m2, units)), ` for the anchor. ${answer.words[units]}`), list]
      : [
          el(
            "p",
            {},
            now.spots.length
              ? "There is no open water for the anchor. Here the boat fails by least:"
              : answer.words[units] + " Try a shorter rode, or another area.",
          ),
          list,
        ];
  }

  /** @param {string[]} lines */
  const words = (lines) => lines.filter(Boolean).map((each) => el("span", { class: "words" }, each));

  /** @param {Spot} spot @param {number} i @returns {Node[]} */
  function spotRow(spot, i) {
    const units = page.units();
    return [
      mark(i, true),
      el("span", { class: "title" }, "Room: at most ", bound(spot.bound_m, units)),
      el("span", { class: "figure" }, signed(spot.clearance_m, units)),
      ...words(["Limited by " + limitWords(spot, units), waterWords(spot, units), ddm(spot.position)]),
    ];
  }

  /** @param {Miss} miss @param {number} i @returns {Node[]} */
  function missRow(miss, i) {
    const units = page.units();
    const freeing = freeingWords(miss, units);
    return [
      mark(i, false),
      el("span", { class: "title" }, "Does not fit"),
      el("span", { class: "figure" }, signed(miss.clearance_m, units)),
      ...words(["Missing " + shortWords(miss, units)]),
      ...freeing.map((each, n) => el("span", { class: "words remedy" }, (n ? "or by " : "Freed by ") + each)),
      ...words([freeing.length ? "" : "Nothing simple would free it", waterWords(miss, units), ddm(miss.position)]),
    ];
  }

  return { find };
}
