// Settings: the level that the map is drawn for, feet or metres, contrast; all of them in the view.
/** @import { HarborData, Level, Page, Units } from "../core/types" */
import { byId, inputById } from "../core/dom.js";
import { levelMetres } from "../map/depth.js";
import { parseLength, signed } from "../words/units.js";

/** @param {Page} page */
export function settings({ store, scene, data, units }) {
  const { levels } = data.info;
  const typed = inputById("level-typed");

  for (const level of /** @type {const} */ (["low", "high"])) {
    byId("level-" + level).addEventListener("click", () => store.set({ level }));
  }
  for (const unit of /** @type {const} */ (["feet", "metres"])) {
    byId("units-" + unit).addEventListener("click", () => store.set({ units: unit }));
  }
  byId("contrast").addEventListener("click", () => store.set({ contrast: !store.get().contrast }));
  typed.addEventListener("change", () => {
    const text = typed.value.trim().replace(/^\+/, "");
    const metres = text ? parseLength(text, units()) : null;
    typed.setAttribute("aria-invalid", String(Boolean(text) && metres === null));
    if (metres !== null) store.set({ level: Math.round(metres * 100) / 100 });
    else if (!text) store.set({ level: "low" });
  });

  /** Shows what is chosen. */
  function render() {
    const { level, contrast } = store.get();
    for (const each of /** @type {const} */ (["low", "high"])) {
      const button = byId("level-" + each);
      button.setAttribute("aria-pressed", String(level === each));
      button.textContent = levels
        ? `${each === "low" ? "Low" : "High"} ${signed(levelMetres(each, levels), units())}`
        : each === "low"
          ? "Low"
          : "High";
      button.toggleAttribute("disabled", !levels);
    }
    for (const each of ["feet", "metres"]) byId("units-" + each).setAttribute("aria-pressed", String(units() === each));
    byId("contrast").setAttribute("aria-pressed", String(contrast));
    document.documentElement.classList.toggle("contrast", contrast);
    if (document.activeElement !== typed || typeof level === "number")
      typed.value = typeof level === "number" ? signed(level, units()).replace("\u00a0", " ") : "";
    byId("drawn").textContent = levelWords(level, data, units(), true);
  }
  store.subscribe(["units", "level", "contrast"], render);
  scene.subscribe(["info"], render);
}

/** @param {Level} level @param {HarborData} data @param {Units} units @param {boolean} [brief] without the datum */
export function levelWords(level, data, units, brief = false) {
  const { levels } = data.info;
  if (!levels && typeof level !== "number") return brief ? "at chart datum" : "chart datum; the tide levels are not set";
  const figure = signed(levelMetres(level, levels), units);
  const name = typeof level === "number" ? "a level of" : level + " water,";
  return brief ? `${name.replace(",", "")} ${figure}` : `${name} ${figure} on ${levels?.datum || "chart datum"}`;
}
