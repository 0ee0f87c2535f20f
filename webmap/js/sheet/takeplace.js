// Take place: the form by which a place becomes a mooring.
/** @import { ActionResult, Page, PlaceToTake } from "../core/types" */
import { actionForm, fieldOf, showField } from "../controls/actionform.js";
import { byId, el, put } from "../core/dom.js";
import { closeIcon } from "../core/icons.js";
import { limitName } from "../words/openwater.js";
import { bodyOf } from "../words/takeplace.js";
import { ddm, signed } from "../words/units.js";

/** @param {Page} page @param {{done(acted: ActionResult): Promise<void>}} callbacks */
export function takePlaceForm(page, callbacks) {
  const box = byId("form-take");
  const at = el("p", { class: "position", id: "take-at" });
  const facts = el("p", { class: "quiet" });
  const listed = el("p", { id: "take-listed" });
  const boat = fieldOf("take", "boat", "Boat's name");
  const owner = fieldOf("take", "owner", "Owner");
  /** @type {PlaceToTake | null} */
  let place = null;
  /** @type {HTMLElement | null} */
  let opener = null;

  const act = actionForm(page, {
    id: "take",
    label: "Set the mooring",
    act: "acts/place",
    fields: [at, facts, listed, el("div", { class: "fields" }, boat, owner)],
    beside: fieldOf("take", "number", "Number", { placeholder: "next free one" }),
    foot: el("p", { class: "quiet" }, "Who, when and why are put on record. The harbormaster's permit governs."),
    body: (values) => place && bodyOf(place, values),
    despite: { words: "Why it is done anyway", label: "Take it anyway" },
    unfit: { title: "This does not fit:", next: "Move the place, or take it anyway and say why; the reason is put on record." },
    async done(acted) {
      act.empty();
      box.hidden = true;
      place = null;
      await callbacks.done(acted);
    },
  });
  put(
    box,
    el(
      "div",
      { class: "answer-head" },
      el("h2", { id: "take-title" }, "Take this place"),
      el(
        "button",
        { type: "button", class: "icon-button", "aria-label": "Close the form; what is typed is kept", click: close },
        closeIcon(),
      ),
    ),
    act.box,
  );

  /** @param {PlaceToTake} next */
  function open(next) {
    if (box.hidden) opener = /** @type {HTMLElement | null} */ (document.activeElement);
    place = next;
    act.look();
    box.hidden = false;
    act.doubt(false);
    act.clear();
    act.recall();
    render();
    box.scrollIntoView({ block: "start" });
    const first = [...act.form.querySelectorAll("input")].find((input) => !input.disabled && !input.value);
    (first ?? act.submit).focus({ preventScroll: true });
  }

  function close() {
    if (box.hidden) return;
    const held = box.contains(document.activeElement);
    box.hidden = true;
    if (held) (opener?.isConnected && opener.checkVisibility() ? opener : byId("map")).focus({ preventScroll: true });
  }

  function render() {
    if (!place) return;
    const { clearance_m, limit, query, waiting } = place;
    const units = page.units();
    at.textContent = ddm(place.at);
    facts.textContent = [
      query.area,
      clearance_m === null ? "" : `clearance ${signed(clearance_m, units)}${limit ? " to " + limitName(limit) : ""}`,
    ]
      .filter(Boolean)
      .join(" · ");
    listed.hidden = !waiting;
    put(listed, "For ", el("strong", {}, waiting), " of the waiting list, with the boat that is on it; both leave the list.");
    for (const label of [boat, owner]) showField(label, !waiting);
  }

  /** @param {PlaceToTake} next the same place, moved */
  function follow(next) {
    if (box.hidden || !place || place.waiting) return;
    const away = next.at.lat_deg !== place.at.lat_deg || next.at.lon_deg !== place.at.lon_deg;
    place = next;
    // What the service said was of another place.
    if (away && !act.isSending()) {
      act.doubt(false);
      act.clear();
    }
    render();
  }

  page.store.subscribe(["units"], render);
  page.scene.subscribe(["trial"], ({ trial }) => {
    if (trial) follow(trial.place);
  });
  return { open, close, isOpen: () => !box.hidden };
}
