// Shortcuts: / goes to the search, Escape closes what was opened last.
import { byId } from "../core/dom.js";

/** @param {(() => boolean)[]} closers asked in turn; the first that had something to close says true */
export function shortcuts(closers) {
  const search = byId("q");
  // While the key is held its character is not for the search, to which the focus has gone already.
  let held = false;
  search.addEventListener("beforeinput", (event) => {
    if (held && /** @type {InputEvent} */ (event).data === "/") event.preventDefault();
  });
  document.addEventListener("keyup", (event) => {
    if (event.key === "/") held = false;
  });
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return;
    if (event.key === "/" && !isField(event.target)) {
      event.preventDefault();
      held = true;
      search.focus();
    }
    if (event.key === "Escape" && closers.some((close) => close())) event.preventDefault();
  });
}

/** @param {EventTarget | null} target */
function isField(target) {
  return target instanceof HTMLElement && target.matches("input, select, textarea");
}
