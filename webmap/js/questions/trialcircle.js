// Trial circle: the swing circle of a boat at a place of one's own, moved by pointer, by keys or by a typed position, and judged while it
// moves.
/** @import { Page, Position, Spot, TrialShown } from "../core/types" */
import { ask, faultIn, harborPath } from "../core/api.js";
import { coalesce } from "../core/coalesce.js";
import { byId, el, inputById, put } from "../core/dom.js";
import { doubtIcon, fitsIcon, hazardIcon } from "../core/icons.js";
import { perMetre, worldPixels } from "../core/scale.js";
import { clause, sentence } from "../words/names.js";
import { against, limitName, moved, verdict } from "../words/openwater.js";
import { ddm, length, signed } from "../words/units.js";
import { boatOf } from "./openwaterform.js";

/** Metres of an arrow key. */
const STEP_M = { plain: 1, shift: 10 };
/** After so long a rest the ear is told. */
const REST_MS = 500;
/** What can be grasped is as large as the circle, but leaves room beside it to move the map by. */
const GRASP = { least_px: 56, share: 0.55 };

/** @type {Record<string, [number, number]>} east and north */
const ARROWS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/**
 * @param {Page} page @param {L.Map} map
 * @param {import("../map/map.js").MapView} view @param {() => void} makeRoom shows the map on a phone
 */
export function trialCircle(page, map, view, makeRoom) {
  const bar = byId("trialbar");
  const told = byId("trial-told");
  const field = inputById("trial-position");
  const grasp = el("div", {
    id: "trial-grasp",
    class: "leaflet-zoom-hide",
    tabindex: 0,
    role: "application",
    "aria-roledescription": "movable circle",
    hidden: true,
    "aria-label": "The boat's swing circle. Arrows move it by one metre, with Shift by ten; Escape takes it away.",
    "aria-describedby": "trial-words",
  });
  map.getPane("grasp")?.append(grasp);
  L.DomEvent.disableClickPropagation(grasp);

  /** @type {Record<string, string> | null} the boat and the area; null while there is no circle */
  let query = null;
  let at = view.middle();
  /** @type {Spot | null} the newest answer */
  let answer = null;
  /** @type {{id: number, dx: number, dy: number} | null} */
  let held = null;
  let typed = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let rest;

  const asking = coalesce(
    /** @param {{position: string, typed: boolean}} wanted @param {AbortSignal} signal @returns {Promise<Spot>} */ (wanted, signal) =>
      ask(harborPath(page.data.info.slug, "spot"), { ...query, position: wanted.position }, signal),
    (came, wanted) => {
      answer = came;
      told.textContent = "";
      if (wanted.typed) {
        typed = false;
        at = came.position;
        view.show(at, map.getZoom());
      }
      render();
    },
    (fault) => {
      if (!typed) answer = null;
      told.textContent = sentence(faultIn(fault, page.units()));
      render();
    },
  );

  /** @param {Position} p as the service reads it */
  const text = (p) => `${p.lat_deg.toFixed(8)}, ${L.latLng(p.lat_deg, p.lon_deg).wrap().lng.toFixed(8)}`;

  /** @param {Position} next */
  function moveTo(next) {
    at = next;
    typed = false;
    asking.after({ position: text(at), typed: false });
    render();
  }

  function render() {
    bar.hidden = grasp.hidden = !query;
    page.scene.set({ trial: shown() });
    if (!query) return;
    const units = page.units();
    const why = answer && against(answer);
    const fits = answer && answer.clearance_m >= 0 && !why;
    const limit = answer?.limits[0];
    bar.dataset.fits = answer ? String(fits) : "";
    put(
      byId("trial-words"),
      fits ? fitsIcon() : answer && why?.fits !== null ? hazardIcon() : doubtIcon(),
      el("strong", {}, answer ? signed(answer.clearance_m, units) : "unknown"),
      el(
        "span",
        {},
        why ? clause(why.words[units]) : answer && limit ? (fits ? "nearest " : "to ") + limitName(limit) : "",
        answer && el("span", { class: "quiet" }, `swings ${length(answer.radius_m, units)} · depth ${length(answer.depth_m, units)}`),
      ),
    );
    if (!typed) field.value = ddm(at);
    placeGrasp();
    tellLater();
  }

  /** The ear is told when the circle has come to rest, and once for each rest. */
  let said = "";
  function tellLater() {
    clearTimeout(rest);
    rest = setTimeout(() => {
      if (!query || !answer || held || asking.behind()) return;
      const why = against(answer);
      const words = why ? sentence(why.words[page.units()]) : verdict(answer.clearance_m, answer.limits[0] ?? null, page.units()) + ".";
      if (words !== said) page.say((said = words));
    }, REST_MS);
  }

  function placeGrasp() {
    if (!query) return;
    const metre = perMetre(at.lat_deg);
    const size = map.getSize();
    const wide = 2 * (answer?.radius_m ?? 0) * metre.y * worldPixels(map.getZoom());
    const side = Math.max(GRASP.least_px, Math.min(wide, GRASP.share * Math.min(size.x, size.y)));
    grasp.style.width = grasp.style.height = side + "px";
    L.DomUtil.setPosition(grasp, map.latLngToLayerPoint([at.lat_deg, at.lon_deg]).subtract([side / 2, side / 2]));
  }
  map.on("zoom viewreset moveend resize", placeGrasp);

  /** @param {PointerEvent} event */
  const pointer = (event) => map.mouseEventToContainerPoint(event);

  grasp.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || event.button) return;
    const p = pointer(event);
    const c = map.latLngToContainerPoint([at.lat_deg, at.lon_deg]);
    held = { id: event.pointerId, dx: c.x - p.x, dy: c.y - p.y };
    grasp.setPointerCapture(event.pointerId);
    grasp.focus({ preventScroll: true });
  });
  grasp.addEventListener("pointermove", (event) => {
    if (event.pointerId !== held?.id) return;
    const { x, y } = pointer(event);
    const to = map.containerPointToLatLng([x + held.dx, y + held.dy]);
    moveTo({ lat_deg: to.lat, lon_deg: to.lng });
  });
  for (const end of /** @type {const} */ (["pointerup", "pointercancel"]))
    grasp.addEventListener(end, () => {
      held = null;
      tellLater();
    });

  grasp.addEventListener("keydown", (event) => {
    const way = ARROWS[event.key];
    if (!way || event.ctrlKey || event.altKey || event.metaKey) return;
    // The map would move too.
    event.preventDefault();
    event.stopPropagation();
    const step = event.shiftKey ? STEP_M.shift : STEP_M.plain;
    moveTo(moved(at, way[0] * step, way[1] * step));
    view.keepInSight(at);
  });

  field.addEventListener("input", () => {
    typed = true;
    told.textContent = "";
  });
  field.addEventListener("change", () => {
    if (!query || !typed) return;
    if (field.value.trim()) asking.after({ position: field.value.trim(), typed: true });
    else {
      typed = false;
      render();
    }
  });
  byId("trial-away").addEventListener("click", away);
  const offer = () => {
    byId("trial-take").hidden = !page.me.may("moorings");
    byId("trial-who").hidden = !page.me.reads();
  };
  page.me.on(offer);
  offer();
  byId("trial-take").addEventListener("click", () => {
    const here = place();
    if (here) page.take(here);
  });
  byId("trial-who").addEventListener("click", () => {
    const here = place();
    if (here) page.whoFits(here);
  });

  /** @returns {import("../core/types").PlaceToTake | null} */
  function place() {
    return query && { at, query, clearance_m: answer?.clearance_m ?? null, limit: answer?.limits[0] ?? null };
  }

  /** @returns {TrialShown | null} what the map draws */
  function shown() {
    const here = place();
    return (
      here && {
        at,
        radius_m: answer?.radius_m ?? null,
        clearance_m: here.clearance_m,
        limit: here.limit,
        boat: boatOf(here.query),
        place: here,
      }
    );
  }

  function away() {
    if (!query) return;
    query = null;
    answer = null;
    said = "";
    held = null;
    typed = false;
    asking.drop();
    clearTimeout(rest);
    render();
    const back = byId("where-circle");
    if (back.checkVisibility()) back.focus();
    else byId("map").focus({ preventScroll: true });
  }

  page.store.subscribe(["units"], render);
  page.scene.subscribe(["person"], render);
  return {
    away,
    isOut: () => query !== null,
    /**
     * Puts the circle out, or tries another boat where it lies.
     * @param {Record<string, string>} next refused with the service's words where it cannot be judged
     */
    async put(next) {
      makeRoom();
      const place = query ? at : view.middle();
      /** @type {Spot} */
      const first = await ask(harborPath(page.data.info.slug, "spot"), { ...next, position: text(place) });
      asking.drop();
      const anew = !query;
      query = next;
      if (anew) at = place;
      answer = first;
      said = told.textContent = "";
      render();
      grasp.focus({ preventScroll: true });
    },
  };
}
