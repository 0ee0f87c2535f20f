// Sheet: one mooring's sheet at the edge of the map: what the map knows of it at once, and the rest when it has come.
/** @import { Buoy, Page, Sheet } from "../core/types" */
import { ask, harborPath } from "../core/api.js";
import { byId, el, put, renew } from "../core/dom.js";
import { closeIcon, stateIcon } from "../core/icons.js";
import { later } from "../core/later.js";
import { stateWords } from "../words/names.js";
import { ddm, length } from "../words/units.js";

/** @param {Page} page @param {{fit(number: string): void}} callbacks */
export function mooringSheet(page, callbacks) {
  const box = byId("sheet");
  const body = byId("sheet-body");
  /** @type {Sheet | null} */
  let sheet = null;
  let wantedNumber = "";
  let coming = new AbortController();
  /** @type {HTMLElement | null} */
  let opener = null;
  const rest = later("sheet", ({ sheetParts }) => sheetParts(page, callbacks));

  /** @param {string} number @param {boolean} byUser whether the focus goes along */
  async function open(number, byUser) {
    if (byUser && !box.contains(document.activeElement)) opener = /** @type {HTMLElement} */ (document.activeElement);
    coming.abort();
    coming = new AbortController();
    const another = number !== wantedNumber || box.hidden;
    if (another) forget();
    wantedNumber = number;
    box.hidden = false;
    render("");
    if (another) body.scrollTop = 0;
    if (byUser) byId("sheet-number").focus({ preventScroll: true });
    await fetchSheet(number, coming.signal);
  }

  function forget() {
    sheet = null;
    rest.here()?.forget();
  }

  /** @param {string} number @param {AbortSignal} signal */
  async function fetchSheet(number, signal) {
    let fault = "";
    try {
      const [came] = await Promise.all([
        ask(harborPath(page.data.info.slug, "moorings/" + encodeURIComponent(number)), {}, signal),
        rest.get(),
      ]);
      // What writes it may have come later than the answer, and another mooring may be open by then.
      if (signal.aborted) return;
      sheet = came;
    } catch (error) {
      if (signal.aborted) return;
      fault = /** @type {Error} */ (error).message;
    }
    render(fault);
    const buoy = page.data.byNumber.get(number);
    if (sheet) page.say(`Mooring ${number}: ${buoy ? stateWords(buoy) : ""}, radius ${rest.here()?.radius(sheet)}`);
  }

  function close() {
    if (box.hidden) return;
    coming.abort();
    const held = box.contains(document.activeElement) || document.activeElement === document.body;
    box.hidden = true;
    forget();
    wantedNumber = "";
    page.store.set({ mooring: "", with: "", hazard: "" }, "push");
    if (held) (opener?.isConnected ? opener : byId("map")).focus({ preventScroll: true });
  }

  /** @param {string} fault */
  function render(fault) {
    const buoy = page.data.byNumber.get(wantedNumber) ?? null;
    byId("sheet-number").textContent = wantedNumber;
    const parts = [...headParts(buoy, sheet, page)];
    if (fault) {
      parts.push(
        el(
          "div",
          { class: "refusal", role: "alert" },
          el(
            "p",
            {},
            sheet
              ? `${fault} What is shown of mooring ${wantedNumber} is as it was told last; what you typed is kept.`
              : `${fault} What is shown of mooring ${wantedNumber} is what the map knows.`,
          ),
          el("button", { type: "button", click: () => open(wantedNumber, false) }, "Ask again"),
        ),
      );
    }
    if (sheet) parts.push(...(rest.here()?.parts(sheet) ?? []));
    else if (!fault) parts.push(el("p", { class: "quiet" }, "Asking for the rest …"));
    renew(body, parts);
  }

  /** Writes the sheet again, in other units or with another trouble pointed out. */
  function rewrite() {
    if (!box.hidden) render("");
  }

  put(byId("sheet-close"), closeIcon());
  byId("sheet-close").addEventListener("click", close);
  page.store.subscribe(["mooring", "with", "hazard"], ({ mooring }, changed, how) => {
    if (!changed.has("mooring")) rewrite();
    else if (mooring) open(mooring, how !== "back");
    else close();
  });
  page.store.subscribe(["units"], rewrite);
  page.scene.subscribe(["news"], ({ news }) => {
    if (news) rest.here()?.news(news);
  });

  return { open, close, isOpen: () => !box.hidden };
}

/** What the map already knows. @param {Buoy | null} buoy @param {Sheet | null} sheet @param {Page} page @returns {Node[]} */
function headParts(buoy, sheet, page) {
  const made = [];
  if (buoy) made.push(el("p", { class: "state-line" }, stateIcon(buoy.look), el("span", {}, stateWords(buoy))));
  const position = sheet?.positions.ddm ?? (buoy && ddm(buoy));
  if (position) made.push(el("p", { class: "position" }, position));
  if (sheet) made.push(el("p", { class: "forms quiet" }, el("span", {}, sheet.positions.dd), el("span", {}, sheet.positions.dms)));
  const accuracy = sheet?.accuracy.accuracy_m ?? buoy?.accuracy_m;
  if (accuracy !== undefined)
    made.push(
      el(
        "p",
        { class: "quiet" },
        [buoy?.area, accuracy === null ? "accuracy unknown" : `±\u00a0${length(accuracy, page.units())}`, fromWords(sheet?.accuracy.from)]
          .filter(Boolean)
          .join(" · "),
      ),
    );
  return made;
}

/** @param {string | undefined} from */
function fromWords(from) {
  return from === "assumed" ? "assumed" : from === "default" ? "set for the harbor" : "";
}
