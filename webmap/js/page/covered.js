// Covered: what lies over the map, in pixels; what is shown on it is moved to where it can be seen.
import { byId, onPhone } from "../core/dom.js";

export function covered() {
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
