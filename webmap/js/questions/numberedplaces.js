// Numbered places: places that are numbered on the map and in a list; one of them may be chosen, and then it says what can be done with it.
/** @import { NumberedPlace, Page, Position, WaterShown } from "../core/types" */
import { byId, el, svg } from "../core/dom.js";
import { markName } from "../words/openwater.js";

/** @param {Pick<Page, "scene">} page @param {(at: Position) => void} show moves the map there */
export function numberedPlaces({ scene }, show) {
  /** @type {WaterShown | null} */
  let now = null;
  /** @type {(i: number) => Node | null} */
  let todo = () => null;

  /** The map draws them as they are now. */
  const publish = () => scene.set({ places: now && { ...now } });

  /** @param {number} i */
  function choose(i) {
    if (!now?.spots[i]) return;
    now.chosen = i;
    [...byId("spots").querySelectorAll(":scope > li")].forEach((item, n) => {
      const row = item.querySelector("button.place");
      item.querySelector(".todo")?.remove();
      row?.removeAttribute("aria-current");
      if (n !== i) return;
      row?.setAttribute("aria-current", "true");
      const more = todo(i);
      if (more) item.append(more);
      item.scrollIntoView({ block: "nearest" });
    });
    show(now.spots[i].position);
    publish();
  }

  return {
    choose,
    /** @param {WaterShown} next @param {(i: number) => Node | null} actions of a place that is chosen */
    set(next, actions) {
      now = next;
      todo = actions;
      publish();
    },
    /** Something of what is shown has become known. */
    again: publish,
    clear() {
      if (!now) return;
      now = null;
      publish();
    },
    /** @param {WaterShown} of @param {string} label @param {(i: number) => Node[]} row @param {(i: number) => Node | null} actions */
    list(of, label, row, actions) {
      return el(
        "ul",
        { class: "rows", id: "spots", "aria-label": label },
        ...of.spots.map((_, i) =>
          el(
            "li",
            {},
            el(
              "button",
              { type: "button", class: "row place", "aria-current": i === of.chosen && "true", click: () => choose(i) },
              ...row(i),
            ),
            i === of.chosen && actions(i),
          ),
        ),
      );
    },
  };
}

/** What can be done with a place. @param {Page} page @param {() => import("../core/types").PlaceToTake} place */
export function placeActions(page, place) {
  if (!page.me.reads()) return el("p", { class: "todo quiet" }, "A harbormaster who is signed in can set a mooring here.");
  return el(
    "div",
    { class: "todo buttons" },
    page.me.may("moorings") && el("button", { type: "button", class: "primary", click: () => page.take(place()) }, "Take this place"),
    el("button", { type: "button", class: "plain", click: () => page.whoFits(place()) }, "Who on the waiting list fits here?"),
  );
}

/** The mark of a place, as on the map. @param {number} i @param {boolean} fits */
export function mark(i, fits) {
  const name = markName(i);
  return svg(
    "svg",
    {
      class: "icon spot-mark" + (fits ? "" : " misfit") + (name.length > 2 ? " long" : ""),
      viewBox: "0 0 24 24",
      width: 24,
      height: 24,
      "aria-hidden": "true",
    },
    fits ? svg("circle", { cx: 12, cy: 12, r: 11 }) : svg("rect", { x: 1, y: 1, width: 22, height: 22, rx: 3 }),
    svg("text", { x: 12, y: 16.6 }, name),
  );
}

/** @param {Position[]} places @returns {NumberedPlace[]} of which it is not known yet how far a boat swings there */
export const unmeasured = (places) => places.map((position) => ({ position, radius_m: null }));
