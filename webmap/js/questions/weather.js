// Weather: how the boats lie, the fourth question: it asks the service what a wind and a stream do, and lays the field on the map.
/** @import { Fleet, Laid, Page, WeatherCollection } from "../core/types" */
import { refusalAnswer } from "../controls/refusal.js";
import { ask, faultIn, harborPath } from "../core/api.js";
import { byId, el, put, reducedMotion } from "../core/dom.js";
import { latest } from "../core/latest.js";
import { blend, ROW } from "../map/frames.js";
import { setLooks, fleetOf } from "../map/lyinghulls.js";
import { weatherBadge } from "../map/weatherbadge.js";
import { drawLaid } from "../map/weatherchart.js";
import { animation } from "./animation.js";
import { gapRows, gapsTitle, weatherAnswer, liesWords, unlaidOf } from "./weatheranswer.js";
import { weatherForm } from "./weatherform.js";
import { firstWeather, liesTo, queryOf } from "./weatherquery.js";

/** Boats swing over to another weather in this time, so that the eye sees which went where. */
const GLIDE_MS = 260;

/** @param {Page} page @param {Pick<import("../map/chart.js").Chart, "drawLying" | "swing">} chart */
export function weather(page, chart) {
  const { store, scene, data } = page;
  const form = /** @type {HTMLFormElement} */ (byId("form-lie"));
  const shift = el(
    "button",
    { type: "button", class: "plain", id: "play-shift", click: () => played.start("shift", shift) },
    "Shift the wind round",
  );
  const tide = el(
    "button",
    { type: "button", class: "plain", id: "play-tide", hidden: true, click: () => played.start("tide", tide) },
    "Play a tide",
  );
  const told = el("section", { id: "lie-answer", "aria-label": "How they lie" });
  const controls = weatherForm(form, {
    change: (patch) => store.set({ weather: { ...asked(), ...patch } }),
    buttons: [shift, tide],
    answer: told,
  });
  const corner = weatherBadge();
  chart.drawLying(drawLaid);

  /** @type {Laid | null} */
  let laid = null;
  /** @type {WeatherCollection | null} */
  let answer = null;
  /** @type {() => Node[]} */
  let written = () => [];
  /** What is asked, and what the answer is to; both empty while the form is closed. */
  let query = "";
  let answered = "";
  let gliding = 0;

  const played = animation(page, {
    asked,
    swing: chart.swing,
    write,
    refuse,
    corner: corner.show,
    away: () => {
      back();
      shift.focus();
    },
    lay(next) {
      asking.drop();
      show(next);
    },
  });
  const asking = latest(
    async (signal) => ({ of: query, came: await ask(harborPath(data.info.slug, "weather"), queryOf(asked()), signal) }),
    ({ of, came }) => {
      answer = came;
      answered = of;
      lay();
      const hulls = /** @type {WeatherCollection} */ (came).features.filter((each) => each.properties.kind === "hull").length;
      page.say(`${gapsTitle(gapRows(came, page).length, hulls, unlaidOf(came).length)}. ${liesWords(came)}`);
    },
    refuse,
  );

  function asked() {
    return store.get().weather ?? firstWeather(data.info);
  }

  /** @param {() => Node[]} make */
  function write(make) {
    written = make;
    // Whoever reads in the list goes on reading: what was unfolded stays so, and the focus stays on its row.
    const rows = () => [.../** @type {NodeListOf<HTMLElement>} */ (told.querySelectorAll("button, summary"))];
    const at = rows().findIndex((each) => each === document.activeElement);
    const open = told.querySelector("details")?.open;
    put(told, ...make());
    if (open) told.querySelector("details")?.setAttribute("open", "");
    if (at >= 0) rows()[Math.min(at, rows().length - 1)]?.focus({ preventScroll: true });
  }

  /** Shows what the view holds, and asks when it is something else than before. */
  function render() {
    if (store.get().panel !== "lie") return leave();
    const known = scene.get().tide;
    const next = JSON.stringify(asked());
    controls.show(asked(), page.units(), { levels: data.info.levels, tide: known && known.caution });
    tide.hidden = !known;
    if (next !== query) {
      query = next;
      played.stop();
      asking.soon();
    }
    corner.show(liesTo(asked(), data.info, page.units(), known));
    played.render();
  }

  /** Takes it all away. */
  function leave() {
    if (!query) return;
    query = answered = "";
    asking.drop();
    played.stop();
    answer = null;
    write(() => []);
    corner.show(null);
    show(null);
  }

  /** @param {Laid | null} next */
  function show(next) {
    cancelAnimationFrame(gliding);
    laid = next;
    scene.set({ laid: next });
  }

  /** Back from a play to what was asked. */
  function back() {
    played.stop();
    lay();
    if (answered !== query) asking.soon();
    render();
  }

  /** Lays the field as the service said; boats that lie there already swing over. */
  function lay() {
    // An answer may come before the moorings themselves.
    if (!answer || !data.buoys.length || played.is()) return;
    const came = answer;
    const rows = gapRows(came, page);
    const unknown = unlaidOf(came);
    const { fleet, to } = fleetIn(came);
    const gaps = rows
      .map(({ a, b, gap_m, state }) => ({ i: fleet.index.get(a) ?? -1, j: fleet.index.get(b) ?? -1, gap_m, state }))
      .filter(({ i, j }) => i >= 0 && j >= 0);
    setLooks(fleet, gaps);
    const from = laid && !reducedMotion() ? before(laid.fleet, fleet, to) : to;
    fleet.lies.set(from);
    show({ fleet, gaps, unlaid: new Set(unknown.map((each) => each.mooring)) });
    if (from !== to) glide(fleet, from, to);
    write(() =>
      weatherAnswer(page, {
        title: gapsTitle(rows.length, to.length / ROW, unknown.length),
        words: liesWords(came),
        laid: to.length / ROW,
        rows,
        unknown,
      }),
    );
  }

  /** @param {WeatherCollection} came */
  function fleetIn(came) {
    const hulls = came.features.map((each) => each.properties).filter((each) => each.kind === "hull");
    const fleet = fleetOf(
      data,
      hulls.map(({ number }) => {
        const buoy = data.byNumber.get(number);
        return { number, length_m: buoy?.length_all_m ?? buoy?.loa_m ?? 0, beam_m: buoy?.beam_m ?? 0 };
      }),
    );
    const to = new Float64Array(fleet.lies.length);
    for (const each of hulls) {
      const n = fleet.index.get(each.number);
      if (n !== undefined) to.set([each.reach_m ?? 0, each.load_deg ?? 0, each.stern_deg ?? 0], n * ROW);
    }
    return { fleet, to };
  }

  /**
   * Where the boats of a fleet lay before.
   * @param {Fleet} old
   * @param {Fleet} next
   * @param {Float64Array} to for those that were not there
   */
  function before(old, next, to) {
    const from = to.slice();
    next.numbers.forEach((number, n) => {
      const was = old.index.get(number);
      if (was !== undefined) from.set(old.lies.subarray(was * ROW, (was + 1) * ROW), n * ROW);
    });
    return from;
  }

  /** @param {Fleet} fleet @param {Float64Array} from @param {Float64Array} to */
  function glide(fleet, from, to) {
    const began = performance.now();
    /** @param {number} now */
    const step = (now) => {
      const share = Math.min(1, Math.max(0, (now - began) / GLIDE_MS));
      blend(fleet.lies, from, to, 1 - (1 - share) ** 3);
      chart.swing();
      if (share < 1) gliding = requestAnimationFrame(step);
    };
    gliding = requestAnimationFrame(step);
  }

  /** @param {Error} fault */
  function refuse(fault) {
    write(() => {
      const { title, make } = refusalAnswer(fault, page, () => asking.soon());
      return [el("h2", {}, title), ...make()];
    });
    page.say(faultIn(fault, page.units()));
  }

  // The harbor's moorings have come, at first or anew.
  scene.subscribe(["moorings"], () => {
    if (!query) return;
    if (answer && !laid) lay();
    else if (laid) asking.soon();
  });
  // The tide is known, or another moment of it.
  scene.subscribe(["tide"], () => {
    if (query && asked().water === "now" && !played.is()) asking.soon();
    render();
  });
  store.subscribe(["units"], () => {
    write(written);
    render();
  });

  return {
    render,
    focus: controls.focus,
    playing: played.is,
    stop: back,
  };
}
