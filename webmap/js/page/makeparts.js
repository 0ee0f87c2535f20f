// Make parts: the parts of the page beside the map, in the order in which they are told of a change. What is not open yet comes later.
/** @import { Page } from "../core/types" */
/** @import { OnMap } from "./harbor.js" */
import { onPhone } from "../core/dom.js";
import { later } from "../core/later.js";
import { personButton } from "../people/personbutton.js";
import { publicFold } from "../people/publicfold.js";
import { openWater } from "../questions/openwater.js";
import { questions } from "../questions/questions.js";
import { searchField } from "../questions/search.js";
import { tideLine } from "../questions/tide.js";
import { mooringSheet } from "../sheet/sheet.js";
import { answerBox } from "./answerbox.js";
import { createDrawer } from "./drawer.js";
import { heading } from "./heading.js";
import { laterForm } from "./laterform.js";
import { legend } from "./legend.js";
import { lists } from "./lists.js";
import { placeTaken } from "./page.js";
import { pastSetting } from "./pastdate.js";
import { settings } from "./settings.js";

/**
 * @param {Page} page @param {OnMap} onMap
 * @param {{raise(): void, makeRoom(): void, framed: boolean}} how `raise` makes room for a form on a phone, `makeRoom` for the map;
 *   `framed`: the address says which part of the map is shown
 */
export function makeParts(page, onMap, { raise, makeRoom, framed }) {
  const person = personButton(page, raise);
  const sheet = sheetIn(page, (number) => {
    if (onPhone()) sheet.close();
    asked.fit(number);
  });
  lists(page);
  const water = openWater(page, { ...onMap, makeRoom, framed });
  const asked = questions(page, raise, water.send);
  answerBox(page);
  settings(page);
  const legends = legend(page);
  const tide = tideLine(page);
  const forms = laterForms(page, onMap, raise, framed);
  const take = later("taking", ({ takePlaceForm }) =>
    takePlaceForm(page, {
      async done(acted) {
        water.here()?.trial.away();
        await placeTaken(page, acted);
      },
    }),
  );
  heading(page);
  searchField(page);
  publicFold(page);
  pastSetting(page);
  asked.render();
  water.render();
  return {
    person,
    sheet,
    water,
    legends,
    tide,
    take,
    weather: forms.weather,
    news: later("live", ({ live }) => live(page, onMap.chart)),
    refresh: async () => true,
  };
}

/** The sheet, on a phone in a drawer. @param {Page} page @param {(number: string) => void} fit another boat is to be tried on a mooring */
function sheetIn(page, fit) {
  const sheet = mooringSheet(page, { fit });
  const drawer = createDrawer("sheet", { min: "half", moved: () => {}, away: sheet.close });
  page.store.subscribe(["mooring"], ({ mooring }) => {
    if (mooring) drawer.set("half");
  });
  return sheet;
}

/**
 * The questions whose forms are fetched when they are opened.
 * @param {Page} page
 * @param {OnMap} onMap
 * @param {() => void} raise
 * @param {boolean} framed
 */
function laterForms(page, { chart, view }, raise, framed) {
  const restored = framed && Boolean(page.store.get().sought);
  const weather = later("weather", ({ weather }) => weather(page, chart));
  laterForm(page, "lie", weather, raise);
  laterForm(
    page,
    "next",
    later("waiting", ({ waiting }) => waiting(page)),
    raise,
    page.me.reads,
  );
  laterForm(
    page,
    "free",
    later("whatif", ({ whatIf }) => whatIf(page, { chart, view, framed: restored })),
    raise,
    page.me.reads,
  );
  return { weather };
}
