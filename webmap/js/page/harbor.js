// Harbor: the page of one harbor; its map, panels and lists, and what passes between them.
/** @import { HarborInfo, Hit, Page, Position, Store, Tried } from "../core/types" */
import { watchLengths } from "../controls/lengths.js";
import { tellRefusal } from "../controls/refusal.js";
import { plainSlug } from "../core/address.js";
import { Refusal } from "../core/api.js";
import { emptyHarbor } from "../core/data.js";
import { byId, el, onPhone } from "../core/dom.js";
import { fetchSoon, later } from "../core/later.js";
import { createMe } from "../core/permissions.js";
import { createChart } from "../map/chart.js";
import { levelMetres } from "../map/depth.js";
import { addBackground, createMap, mapClicks, mapView } from "../map/map.js";
import { createPicker } from "../map/picker.js";
import { scaleBar } from "../map/scalebar.js";
import { themeOf } from "../map/theme.js";
import { personButton } from "../people/personbutton.js";
import { publicFold } from "../people/publicfold.js";
import { openWater } from "../questions/openwater.js";
import { questions } from "../questions/questions.js";
import { searchField } from "../questions/search.js";
import { tideLine } from "../questions/tide.js";
import { mooringSheet } from "../sheet/sheet.js";
import { answerBox } from "./answerbox.js";
import { createDrawer } from "./drawer.js";
import { laterForm } from "./laterform.js";
import { legend } from "./legend.js";
import { lists } from "./lists.js";
import { pastSetting } from "./pastdate.js";
import { printing } from "./print.js";
import { fetching } from "./refresh.js";
import { settings } from "./settings.js";
import { keys } from "./shortcuts.js";

/** @param {Store} store @param {HarborInfo} info @param {import("../core/loadharbor.js").Coming} coming */
export function openHarbor(store, info, coming) {
  const data = emptyHarbor(info);
  const first = store.get();
  store.set({ harbor: plainSlug(info.slug) });
  const units = () => store.get().units || data.info.units;
  /** @type {Tried | null} */
  let tried = null;
  /** @type {Position | null} */
  let pin = null;
  /** Until somebody opens something, the worst conflict is pointed out. */
  let greeting = !first.at && !first.mooring && first.panel !== "lie" && !first.sought ? info.worst : null;

  const map = createMap();
  const view = mapView(map, data, store, covered);
  view.showAll(true);
  addBackground(map, info.background);
  const chart = createChart(map, data, () => {
    const { mooring, with: other, hazard, level, contrast } = store.get();
    const focus = mooring || !greeting ? { mooring, with: other, hazard } : { mooring: greeting.a, with: greeting.b, hazard: "" };
    return { level_m: levelMetres(level, data.info.levels), units: units(), theme: themeOf(contrast), focus, tried, pin, laid: lying.here()?.laid() ?? null, water: water.here()?.marks.shown() ?? null, trial: water.here()?.trial.shown() ?? null, changed: change.here()?.changed() ?? null, news: heard.here()?.marks() ?? null };
  });
  const bar = scaleBar(map, units);
  const lengths = watchLengths(units);
  const column = createDrawer("column", { least: "peek", moved: () => {} });
  const sheetDrawer = createDrawer("sheet", { least: "half", moved: () => {}, away: () => sheet.close() });
  const picker = createPicker(() => { column.lower(); if (onPhone()) sheet.close(); });
  const answer = answerBox(() => { tried = pin = null; chart.field(); water.here()?.clear(); forget(); });

  /** @type {Page} */
  const page = {
    store, data, units,
    me: createMe(() => Boolean(store.get().on)),
    signIn: (then) => who.open(then),
    open(number, more = {}) {
      greeting = null;
      const again = store.get().mooring === number;
      store.set({ mooring: number, with: more.with ?? "", hazard: more.hazard ?? "" }, "push");
      if (again) sheet.open(number, true);
      if (!more.stay) moveTo(number, more.with, more.hazard);
    },
    point(at) { pin = at; if (at) view.show(at); chart.field(); },
    tryOut(next) { tried = next; chart.field(); },
    pick: picker.pick,
    say(words) { byId("say").textContent = words; },
    answer(title, make) { greeting = null; answer.show(title, make); if (title) column.raise("half"); },
    async take(place) {
      if (!page.me.may("moorings")) return tellRefusal(page, new Refusal("Setting a mooring is for the harbormaster.", 403), () => page.take(place));
      try {
        const form = await take.get();
        raise();
        form.open(place);
      } catch (fault) {
        tellRefusal(page, /** @type {Error} */ (fault), () => page.take(place));
      }
    },
    takeFollows(place) { take.here()?.follow(place); },
    whoFits({ at, query }) {
      const { area = "", rode_m = "", scope = "", tackle_of = "" } = query;
      page.answer(null);
      store.set({ panel: "next", sought: { answer: "waiting", query: { area, rode_m, scope, tackle_of, open: `${at.lat_deg.toFixed(7)},${at.lon_deg.toFixed(7)}` } } }, "push");
      raise();
      byId("ask-next").scrollIntoView({ block: "start" });
    },
    refresh: () => fetched.look(),
  };
  const raise = () => column.raise("half");
  const sheet = mooringSheet(page, {
    fit: (number) => { if (onPhone()) sheet.close(); asked.fit(number); },
    closed: () => store.set({ mooring: "", with: "", hazard: "" }, "push"),
  });
  const water = openWater(page, {
    map, chart, shown() { chart.places(); renderSettings(); }, showAll: view.showPlaces, show: view.show, middle: view.middle, keepInSight: view.keepInSight, framed: Boolean(first.at),
    makeRoom() { column.lower(); if (onPhone()) sheet.close(); },
  });
  const asked = questions(page, raise, water.send);
  const tide = tideLine(page, () => { lying.here()?.tided(); renderSettings(); });
  const lying = later("weather", ({ weather }) => weather(page, { lay: () => chart.lay(), swing: () => chart.swing(), draw: chart.drawLying, tide: tide.known }));
  const next = later("waiting", ({ waiting }) => waiting(page, { point: page.point }));
  const take = later("taking", ({ taking }) => taking(page, { done: taken }));
  const change = later("whatif", ({ whatIf }) => whatIf(page, { changed() { chart.change(); renderSettings(); }, draw: chart.drawChange, showAll: view.showPlaces, showPair: view.showPair, framed: Boolean(first.at && first.sought) }));
  const forms = [laterForm(page, "lie", lying, raise), laterForm(page, "next", next, raise, page.me.reads), laterForm(page, "free", change, raise, page.me.reads)];
  const heard = later("live", ({ live }) => live(page, { draw: chart.drawNews, shown() { chart.news(); listed.refill(); renderSettings(); }, pulse: chart.pulse, told(news) { sheet.news(news); next.here()?.news(news); } }));
  const who = personButton(page, raise, { changed: personChanged });
  const listed = lists(page);
  publicFold(page);
  const set = settings(store, data, units);
  const legends = legend(data);
  searchField(page);
  printing(map, data, { units, level: () => store.get().level, draw: (fineness) => { bar.draw(); chart.now(fineness); } });
  mapClicks(map, data, { picked: (at) => picker.picked(at) || choosePlace(at), over: (at) => markAt(at) >= 0, open: openHit, nothing: () => column.lower(), marked: () => !lying.here()?.laid() });
  keys([
    () => picker.picked(null),
    () => closeIf(who.isOpen(), who.close),
    () => closeIf(Boolean(take.here()?.isOpen()), () => take.here()?.close()),
    () => closeIf(Boolean(water.here()?.trial.isOut()), () => water.here()?.trial.away()),
    () => closeIf(legends.isOpen(), legends.close),
    () => closeIf(sheet.isOpen(), sheet.close),
    () => closeIf(answer.isOpen(), () => answer.show(null)),
    () => closeIf(Boolean(lying.here()?.playing()), () => lying.here()?.stop()),
    () => closeIf(Boolean(store.get().panel), () => { const { panel } = store.get(); store.set({ panel: "" }); byId("ask-" + panel).focus(); }),
  ]);
  /** The answer box shows something else: the address says no more what stood there. */
  function forget() {
    const { sought } = store.get();
    if (sought?.answer === "room" || sought?.answer === "capacity") store.set({ sought: null });
  }

  /** A mooring has been set. @param {import("../core/types").Acted} acted */
  async function taken({ number, words }) {
    water.here()?.trial.away();
    page.answer(`Mooring ${number} is set`, () => [el("p", {}, `${words[units()]}. Who did it and why is on record.`)]);
    await page.refresh();
    page.open(number);
  }

  new ResizeObserver(() => map.invalidateSize({ animate: false, pan: true })).observe(byId("map"));

  /** What lies over the map, in pixels. */
  function covered() {
    const c = { left: 0, top: 0, right: 0, bottom: 0 };
    if (onPhone()) {
      const open = !byId("sheet").hidden || byId("column").dataset.rise !== "peek";
      c.top = byId("top").offsetHeight;
      // Not as high as the drawer is just now: it may still be on its way down.
      c.bottom = open ? innerHeight / 2 : parseFloat(getComputedStyle(document.documentElement).getPropertyValue("--peek"));
    } else if (!byId("sheet").hidden) c.right = byId("sheet").offsetWidth;
    const bar = byId("trialbar");
    if (!bar.hidden) c.top = bar.getBoundingClientRect().bottom - byId("map").getBoundingClientRect().top;
    return c;
  }

  /** @param {Position} at @returns {number} */
  function markAt(at) {
    const shown = water.here()?.marks.shown();
    return shown ? chart.markAt(shown.spots, at, map.getZoom()) : -1;
  }

  /** @param {Position} at @returns {boolean} whether a numbered place lies there */
  function choosePlace(at) {
    const which = markAt(at);
    if (which >= 0) water.here()?.marks.choose(which);
    return which >= 0;
  }

  /** @param {string} number @param {string} [other] @param {string} [hazard] @param {boolean} [atOnce] */
  function moveTo(number, other, hazard, atOnce = false) {
    const spot = data.report.hazards.find((each) => each.mooring === number && each.kind === hazard)?.at;
    const buoy = data.byNumber.get(number);
    if (other && data.byNumber.has(other)) view.showPair(number, other, atOnce);
    else if (spot ?? buoy) view.show(/** @type {Position} */ (spot ?? buoy), undefined, atOnce);
  }

  /** @param {Hit} hit */
  function openHit(hit) {
    if (hit.kind === "mooring") page.open(hit.number, { stay: !onPhone() });
    else if (hit.kind === "hazard") page.open(hit.hazard.mooring, { hazard: hit.hazard.kind, stay: !onPhone() });
    else page.open(hit.conflict.a, { with: hit.conflict.b, stay: !onPhone() });
  }

  store.on((now, changed, how) => {
    if (changed.has("harbor") || changed.has("on")) return location.reload();
    if (how === "back" && now.at && (changed.has("at") || changed.has("zoom"))) map.setView([now.at.lat_deg, now.at.lon_deg], now.zoom ?? map.getZoom(), { animate: false });
    if (changed.has("mooring")) {
      if (now.mooring) { sheet.open(now.mooring, how !== "back"); sheetDrawer.set("half"); }
      else sheet.close();
    } else if (changed.has("with") || changed.has("hazard")) sheet.render();
    if (["mooring", "with", "hazard"].some((key) => changed.has(/** @type {any} */ (key)))) { listed.mark(); chart.field(); }
    if (changed.has("panel")) { asked.render(); water.render(); renderSettings(); }
    if (["panel", "weather", "sought"].some((key) => changed.has(/** @type {any} */ (key)))) for (const each of forms) each.render();
    if (changed.has("sought") && how === "back") water.follow();
    if (changed.has("list")) listed.choose();
    if (changed.has("area") || changed.has("kinds")) { listed.choose(); listed.refill(); }
    if (changed.has("units")) switchUnits();
    if (changed.has("units") || changed.has("level") || changed.has("contrast")) { renderSettings(); chart.all(); }
    if (changed.has("mooring")) heard.here()?.seen(now.mooring);
    title();
  });

  /** Somebody has signed in or out: other things may be seen and done. */
  function personChanged() {
    for (const each of forms) each.render();
    water.here()?.trial.render();
    if (begun) fetched.anew();
  }

  function switchUnits() {
    page.say("");
    lengths.switched();
    listed.render();
    sheet.render();
    answer.render();
    lying.here()?.rewrite();
    next.here()?.rewrite();
    change.here()?.rewrite();
    take.here()?.render();
    water.here()?.trial.render();
    tide.render();
    bar.draw();
  }

  function renderSettings() {
    set.render();
    const { contrast, level, panel } = store.get();
    legends.render(themeOf(contrast), level, units(), { laid: panel === "lie", open: Boolean(water.here()?.marks.shown()), changed: Boolean(change.here()?.changed()), fresh: data.fresh.size > 0, caution: tide.known()?.caution ?? "" });
  }

  function title() {
    const { mooring } = store.get();
    document.title = [mooring && "Mooring " + mooring, data.info.name].filter(Boolean).join(" · ");
  }

  /** What the harbor itself says has come, at first or anew. */
  function renewHarbor() {
    byId("harbor").textContent = data.info.name;
    byId("caution").textContent = data.info.caution || "planning aid, not for navigation";
    listed.areas();
    water.here()?.areas();
    renderSettings();
    title();
  }

  function firstView() {
    if (first.at) map.setView([first.at.lat_deg, first.at.lon_deg], first.zoom ?? 17, { animate: false });
    else if (first.mooring) moveTo(first.mooring, first.with, first.hazard, true);
    else if (greeting) view.showPair(greeting.a, greeting.b, true);
    else view.showAll(true);
  }

  let begun = false;
  /** The moorings have come: at first what the address asks for is shown, and later the sheet that is open is asked for again. */
  function moored() {
    const { mooring } = begun ? store.get() : first;
    if (mooring) sheet.open(mooring, false);
    if (mooring && !begun) sheetDrawer.set("half");
    if (!begun && !first.at) firstView();
    begun = true;
  }

  lengths.switched();
  pastSetting(page);
  renewHarbor();
  asked.render();
  water.render();
  for (const each of forms) each.render();
  if (first.sought || first.panel === "next") raise();
  if (first.at) firstView();
  const fetched = fetching(page, coming, {
    came(piece) {
      if (piece === "moorings") moored();
      if (piece === "moorings") { lying.here()?.renew(); next.here()?.renew(); change.here()?.renew(); }
      if (piece === "moorings" || piece === "check") listed.renew();
      chart.renew();
    },
    enough() { chart.begin(); tide.anew(); },
    usable() { fetchSoon(); if (!first.on) heard.get().catch(() => {}); },
    harbor: renewHarbor,
  });
}

/** @param {boolean} open @param {() => void} close */
function closeIf(open, close) {
  if (open) close();
  return open;
}
