// Heading: what the harbor says of itself at the top of the page, and the title of the browser's tab.
/** @import { Page } from "../core/types" */
import { byId } from "../core/dom.js";

/** @param {Page} page */
export function heading({ store, scene, data }) {
  function title() {
    const { mooring } = store.get();
    document.title = [mooring && "Mooring " + mooring, data.info.name].filter(Boolean).join(" · ");
  }

  scene.subscribe(["info"], () => {
    byId("harbor").textContent = data.info.name;
    byId("caution").textContent = data.info.caution || "planning aid, not for navigation";
    title();
  });
  store.subscribe(["mooring"], title);
}
