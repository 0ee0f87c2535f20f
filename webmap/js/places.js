// Places: the best places for a boat in an area, asked from the form of the first question, as a list and as what the map draws.
/** @import { Miss, OpenWater, Page, Position, Spot, SpotsAnswer, WaterShown } from "./types" */
import { ask, harborPath } from "./api.js";
import { byId, el, put, svg } from "./dom.js";
import { readForm } from "./forms.js";
import { bound, freeingWords, limitWords, markName, shortWords, waterWords } from "./spotwords.js";
import { ddm, inWords, signed, waterArea } from "./units.js";
import { fieldsInWords, sentence } from "./words.js";

/** So many places are asked for. */
const COUNT = 5;
/** So far they lie apart: five in one gap would be one place told five times. */
const APART_M = 50;
/** What of the form goes to the service. */
const FIELDS = ["loa_m", "length_all_m", "beam_m", "draft_m", "bow_height_m", "rode_m", "scope", "tackle_of", "radius_m"];

/**
 * @param {Page} page
 * @param {{shown(): void, showAll(points: Position[]): void, show(at: Position): void, trial(query: Record<string, string>): Promise<void>}} deeds
 */
export function bestPlaces(page, deeds) {
  const form = /** @type {HTMLFormElement} */ (byId("form-where")), told = byId("where-told");
  const area = /** @type {HTMLSelectElement} */ (byId("where-area")), tackle = /** @type {HTMLSelectElement} */ (byId("where-tackle"));
  /** @type {WaterShown | null} */
  let shown = null;
  let round = 0;

  /** Only the field of the tackle that is chosen is there. */
  function chooseTackle() {
    for (const label of /** @type {NodeListOf<HTMLLabelElement>} */ (form.querySelectorAll("label[data-tackle]"))) {
      const input = /** @type {HTMLInputElement} */ (label.querySelector("input"));
      label.hidden = input.disabled = label.dataset.tackle !== tackle.value;
    }
  }
  tackle.addEventListener("change", chooseTackle);
  form.addEventListener("input", () => tell(""));
  chooseTackle();

  /** @param {string} words @param {boolean} [quiet] */
  function tell(words, quiet = false) {
    told.textContent = words;
    told.classList.toggle("waiting", quiet);
    if (words && !quiet) told.scrollIntoView({ block: "nearest" });
  }

  /** @param {"room" | "circle"} act */
  async function send(act) {
    const values = readForm(form, page.units()), mine = ++round;
    if (!values) return;
    /** @type {Record<string, string>} */
    const query = { area: area.value };
    for (const name of FIELDS) if (values[name]) query[name] = name === "scope" ? values[name].replace(",", ".").replace(/\s*:\s*1$/, "") : values[name];
    tell("Asking …", true);
    try {
      if (act === "circle") await deeds.trial(query);
      else await find(query, mine);
      if (mine === round) tell("");
    } catch (fault) {
      if (mine === round) tell(inWords(sentence(fieldsInWords(/** @type {Error} */ (fault).message)), page.units()));
    }
  }

  /** @param {Record<string, string>} query @param {number} mine */
  async function find(query, mine) {
    const slug = page.data.info.slug;
    /** @type {[SpotsAnswer, OpenWater]} */
    const [answer, water] = await Promise.all([ask(harborPath(slug, "spots"), { ...query, count: COUNT, apart_m: APART_M }), ask(harborPath(slug, "open_water"), query)]);
    if (mine !== round) return;
    const fits = Boolean(answer.spots?.length), spots = (fits ? answer.spots : answer.misses) ?? [];
    const title = fits ? `Open water in ${answer.area}` : `She fits nowhere in ${answer.area}`;
    const next = { spots, fits, chosen: -1, water, boat: boatOf(query) };
    page.answer(title, () => answerOf(next, answer));
    shown = next;
    deeds.shown();
    const ground = water.features.flatMap((each) => each.geometry.coordinates.flat(2)).map(([lon_deg, lat_deg]) => ({ lat_deg, lon_deg }));
    deeds.showAll([...ground, ...spots.map((each) => each.position)]);
    page.say(`${title}. ${inWords(answer.words, page.units())}`);
  }

  /** @param {WaterShown} now @param {SpotsAnswer} answer @returns {Node[]} */
  function answerOf(now, answer) {
    const units = page.units(), area_m2 = now.water?.features[0]?.properties.area_m2 ?? 0;
    const list = el("ul", { class: "rows", id: "spots", "aria-label": now.fits ? "The best places" : "Where she nearly fits" },
      ...now.spots.map((each, i) => el("li", {}, el("button", { type: "button", class: "row place", "aria-current": i === now.chosen && "true", click: () => choose(i) }, ...(now.fits ? spotRow(each, i) : missRow(/** @type {Miss} */ (each), i))))));
    return now.fits
      ? [el("p", {}, el("strong", {}, waterArea(area_m2, units)), ` for her anchor. ${answer.words}`), list]
      : [el("p", {}, now.spots.length ? "There is no open water for her anchor. Here she fails by least:" : inWords(answer.words, units) + " Try a shorter rode, or another area."), list];
  }

  /** @param {string[]} lines */
  const words = (lines) => lines.filter(Boolean).map((each) => el("span", { class: "words" }, each));

  /** @param {Spot} spot @param {number} i @returns {Node[]} */
  function spotRow(spot, i) {
    const units = page.units();
    return [mark(i, true), el("span", { class: "title" }, i ? "No other beats " : "No place beats ", bound(spot.bound_m, units)), el("span", { class: "figure" }, signed(spot.clearance_m, units)),
      ...words(["Limited by " + limitWords(spot, units), waterWords(spot, units), ddm(spot.position)])];
  }

  /** @param {Miss} miss @param {number} i @returns {Node[]} */
  function missRow(miss, i) {
    const units = page.units(), freeing = freeingWords(miss, units);
    return [mark(i, false), el("span", { class: "title" }, "Does not fit"), el("span", { class: "figure" }, signed(miss.clearance_m, units)),
      ...words(["Missing " + shortWords(miss, units)]),
      ...freeing.map((each, n) => el("span", { class: "words remedy" }, (n ? "or by " : "Freed by ") + each)),
      ...words([freeing.length ? "" : "Nothing simple would free it", waterWords(miss, units), ddm(miss.position)])];
  }

  /** @param {number} i */
  function choose(i) {
    if (!shown?.spots[i]) return;
    shown.chosen = i;
    [...byId("spots").querySelectorAll("button")].forEach((each, n) => {
      if (n === i) { each.setAttribute("aria-current", "true"); each.scrollIntoView({ block: "nearest" }); }
      else each.removeAttribute("aria-current");
    });
    deeds.show(shown.spots[i].position);
    deeds.shown();
  }

  return {
    send, choose,
    shown: () => shown,
    clear() {
      if (!shown) return;
      shown = null;
      deeds.shown();
    },
    /** The harbor's areas are known. */
    areas() {
      const was = area.value || page.store.get().area;
      put(area, ...page.data.info.areas.map((each) => el("option", { value: each.name }, each.name)));
      if (page.data.info.areas.some((each) => each.name === was)) area.value = was;
      byId("where-room").hidden = !page.data.info.areas.length;
    },
  };
}

/** @param {Record<string, string>} query @returns {WaterShown["boat"]} as far as she is drawn */
export function boatOf(query) {
  return { length_m: Number(query.length_all_m ?? query.loa_m) || null, beam_m: Number(query.beam_m) || null };
}

/** The mark of a place, as on the map. @param {number} i @param {boolean} fits */
function mark(i, fits) {
  return svg("svg", { class: "icon spot-mark" + (fits ? "" : " misfit"), viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    fits ? svg("circle", { cx: 12, cy: 12, r: 11 }) : svg("rect", { x: 1, y: 1, width: 22, height: 22, rx: 3 }), svg("text", { x: 12, y: 16.6 }, markName(i)));
}
