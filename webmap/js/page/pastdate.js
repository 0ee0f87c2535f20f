// Past date: the field as it stood on a day. It is chosen in the settings and stands in the address; while it is shown a bar says so, and
// nothing can be changed.
/** @import { Page } from "../core/types" */
import { byId, el, inputById, put } from "../core/dom.js";
import { dayWords, whenWords } from "../words/times.js";

/** @param {Page} page */
export function pastSetting(page) {
  const { store } = page;
  const input = inputById("as-of");
  const bar = byId("pastbar");
  const button = byId("as-of-button");
  const setting = byId("as-of-setting");
  const { on } = store.get();
  const back = () => store.set({ on: "" }, "push");
  input.value = on.slice(0, 10);
  input.max = localDay(new Date());
  input.addEventListener("change", () => {
    if (!input.value) back();
    else if (input.validity.valid) store.set({ on: input.value }, "push");
  });
  // On a phone, where there is room, the field stands there unasked.
  const open = (/** @type {boolean} */ shown) => {
    setting.classList.toggle("open", shown);
    button.setAttribute("aria-expanded", String(shown));
  };
  button.addEventListener("click", () => {
    open(!setting.classList.contains("open"));
    if (setting.classList.contains("open")) input.focus();
  });
  setting.addEventListener("focusout", (event) => {
    if (!setting.contains(/** @type {Node | null} */ (event.relatedTarget))) open(false);
  });
  setting.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && setting.classList.contains("open")) {
      event.stopPropagation();
      open(false);
      button.focus();
    }
  });
  if (on) byId("as-of-words").textContent = dayWords(on.slice(0, 10));
  bar.hidden = !on;
  // The service says when a day begins.
  if (on)
    put(
      bar,
      el("p", {}, el("strong", {}, `As it stood on ${whenWords(page.data.info.as_of ?? on)}. `), "Nothing is changed here."),
      el("button", { type: "button", id: "past-back", click: back }, "Back to today"),
    );
}

/** @param {Date} at as 2026-03-01, by the clock here */
function localDay(at) {
  return `${at.getFullYear()}-${String(at.getMonth() + 1).padStart(2, "0")}-${String(at.getDate()).padStart(2, "0")}`;
}
