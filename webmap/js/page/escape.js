// Escape: closes what lies uppermost: one thing for each press of the key.
/** @import { Page } from "../core/types" */
import { byId } from "../core/dom.js";
import { shortcuts } from "./shortcuts.js";

/** @param {Page} page @param {import("./harbor.js").Parts} parts @param {{picked(at: null): boolean}} picker */
export function escape({ store, scene, answer }, { person, take, water, legends, sheet, weather }, picker) {
  shortcuts([
    () => picker.picked(null),
    () => closeIf(person.isOpen(), person.close),
    () => closeIf(Boolean(take.here()?.isOpen()), () => take.here()?.close()),
    () => closeIf(Boolean(scene.get().trial), () => water.here()?.trial.away()),
    () => closeIf(legends.isOpen(), legends.close),
    () => closeIf(sheet.isOpen(), sheet.close),
    () => closeIf(scene.get().answer.title !== null, () => answer(null)),
    () => closeIf(Boolean(weather.here()?.playing()), () => weather.here()?.stop()),
    () =>
      closeIf(Boolean(store.get().panel), () => {
        const { panel } = store.get();
        store.set({ panel: "" });
        byId("ask-" + panel).focus();
      }),
  ]);
}

/** @param {boolean} open @param {() => void} close */
function closeIf(open, close) {
  if (open) close();
  return open;
}
