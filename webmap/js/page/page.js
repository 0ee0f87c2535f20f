// Page: what every part of a harbor's page is given: the view, the scene, the harbor's data, and what one part asks of the others.
/** @import { ActionResult, Page, PlaceToTake } from "../core/types" */
/** @import { OnMap, Parts } from "./harbor.js" */
import { tellRefusal } from "../controls/refusal.js";
import { Refusal } from "../core/api.js";
import { byId, el } from "../core/dom.js";
import { createPermissions } from "../core/permissions.js";
import { moveTo } from "./mapmoves.js";

/**
 * @param {Pick<Page, "store" | "scene" | "data" | "units">} shown
 * @param {{view: OnMap["view"], pick: Page["pick"], raise(): void, parts(): Parts}} by `raise` makes room for a form on a phone; the parts
 *   are made after the page
 */
export function createPage(shown, { view, pick, raise, parts }) {
  const { store, scene, data } = shown;
  /** @type {Page} */
  const page = {
    ...shown,
    pick,
    me: createPermissions(() => Boolean(store.get().on)),
    signIn: (then) => parts().person.open(then),
    open(number, more = {}) {
      scene.set({ greeting: null });
      const again = store.get().mooring === number;
      store.set({ mooring: number, with: more.with ?? "", hazard: more.hazard ?? "" }, "push");
      if (again) parts().sheet.open(number, true);
      if (!more.stay) moveTo(data, view, number, more);
    },
    point(at) {
      scene.set({ pin: at });
      if (at) view.show(at);
    },
    tryOut: (tried) => scene.set({ tried }),
    say(words) {
      byId("say").textContent = words;
    },
    answer(title, make = () => []) {
      scene.set({ greeting: null, tried: null, pin: null, answer: { title, make } });
      // The address says no more what stood there.
      const { sought } = store.get();
      if (sought?.answer === "room" || sought?.answer === "capacity") store.set({ sought: null });
      if (title) raise();
    },
    take: (place) => take(page, parts(), raise, place),
    whoFits(place) {
      raise();
      whoFits(page, place);
    },
    refresh: () => parts().refresh(),
  };
  store.subscribe(["units"], () => page.say(""));
  return page;
}

/**
 * Opens the form by which a place is taken.
 * @param {Page} page
 * @param {Parts} parts
 * @param {() => void} raise
 * @param {PlaceToTake} place
 */
async function take(page, parts, raise, place) {
  const again = () => page.take(place);
  if (!page.me.may("moorings")) return tellRefusal(page, new Refusal("Setting a mooring is for the harbormaster.", 403), again);
  try {
    const form = await parts.take.get();
    raise();
    form.open(place);
  } catch (fault) {
    tellRefusal(page, /** @type {Error} */ (fault), again);
  }
}

/** A mooring has been set. @param {Page} page @param {ActionResult} acted */
export async function placeTaken(page, { number, words }) {
  page.answer(`Mooring ${number} is set`, () => [el("p", {}, `${words[page.units()]}. Who did it and why is on record.`)]);
  await page.refresh();
  page.open(number);
}

/** Asks who on the waiting list fits at a place. @param {Page} page @param {PlaceToTake} place */
function whoFits(page, { at, query }) {
  const { area = "", rode_m = "", scope = "", tackle_of = "" } = query;
  const open = `${at.lat_deg.toFixed(7)},${at.lon_deg.toFixed(7)}`;
  page.answer(null);
  page.store.set({ panel: "next", sought: { answer: "waiting", query: { area, rode_m, scope, tackle_of, open } } }, "push");
  byId("ask-next").scrollIntoView({ block: "start" });
}
