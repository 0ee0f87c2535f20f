// Mooring: one mooring's sheet at the edge of the map.
/** @import { Buoy, Page, Part, Sheet, Neighbour, Units } from "./types" */
import { ask, harborPath } from "./api.js";
import { openTrouble, troubleRow } from "./conflicts.js";
import { byId, el, put } from "./dom.js";
import { closeIcon, stateIcon } from "./icons.js";
import { sectionDrawing } from "./section.js";
import { bearing, ddm, inWords, length, signed, thickness, weight } from "./units.js";
import { basisWords, radiusWords, ruleWords, sentence, workingOf } from "./working.js";
import { count, LOOKS, stateWords, wanted } from "./words.js";

/** @typedef {{fit(number: string): void, closed(): void}} Deeds */

/** @param {Page} page @param {Deeds} deeds */
export function mooringSheet(page, deeds) {
  const box = byId("sheet"), body = byId("sheet-body");
  /** @type {Sheet | null} */
  let sheet = null;
  let wantedNumber = "";
  let coming = new AbortController();
  /** @type {HTMLElement | null} */
  let opener = null;

  /** @param {string} number @param {boolean} byUser whether the focus goes along */
  async function open(number, byUser) {
    if (byUser && !box.contains(document.activeElement)) opener = /** @type {HTMLElement} */ (document.activeElement);
    coming.abort();
    coming = new AbortController();
    if (number !== wantedNumber) sheet = null;
    wantedNumber = number;
    box.hidden = false;
    render("");
    body.scrollTop = 0;
    if (byUser) byId("sheet-number").focus({ preventScroll: true });
    await fetchSheet(number, coming.signal);
  }

  /** @param {string} number @param {AbortSignal} signal */
  async function fetchSheet(number, signal) {
    let fault = "";
    try {
      sheet = await ask(harborPath(page.data.info.slug, "moorings/" + encodeURIComponent(number)), {}, signal);
    } catch (error) {
      if (signal.aborted) return;
      fault = /** @type {Error} */ (error).message;
    }
    render(fault);
    const buoy = page.data.byNumber.get(number);
    if (sheet) page.say(`Mooring ${number}: ${buoy ? stateWords(buoy) : ""}, radius ${radiusWords(sheet.swing, page.units())}`);
  }

  function close() {
    if (box.hidden) return;
    coming.abort();
    const held = box.contains(document.activeElement) || document.activeElement === document.body;
    box.hidden = true;
    sheet = null;
    wantedNumber = "";
    deeds.closed();
    if (held) (opener?.isConnected ? opener : byId("map")).focus({ preventScroll: true });
  }

  /** @param {string} fault */
  function render(fault) {
    const buoy = page.data.byNumber.get(wantedNumber) ?? null;
    byId("sheet-number").textContent = wantedNumber;
    const parts = [...headParts(buoy, sheet, page)];
    if (fault) {
      parts.push(el("div", { class: "refusal", role: "alert" },
        el("p", {}, `${fault} What is shown of mooring ${wantedNumber} is what the map knows.`),
        el("button", { type: "button", click: () => open(wantedNumber, false) }, "Ask again")));
    } else if (sheet) parts.push(...sheetParts(sheet, page, deeds));
    else parts.push(el("p", { class: "quiet" }, "Asking for the rest …"));
    put(body, parts);
  }

  put(byId("sheet-close"), closeIcon());
  byId("sheet-close").addEventListener("click", close);
  return {
    open, close,
    isOpen: () => !box.hidden,
    /** Writes the sheet again, in other units. */
    render: () => { if (!box.hidden) render(""); },
  };
}

/** What the map already knows. @param {Buoy | null} buoy @param {Sheet | null} sheet @param {Page} page @returns {Node[]} */
function headParts(buoy, sheet, page) {
  const made = [];
  if (buoy) made.push(el("p", { class: "state-line" }, stateIcon(buoy.look), el("span", {}, stateWords(buoy))));
  const position = sheet?.positions.ddm ?? (buoy && ddm(buoy));
  if (position) made.push(el("p", { class: "position" }, position));
  if (sheet) made.push(el("p", { class: "forms quiet" }, el("span", {}, sheet.positions.dd), el("span", {}, sheet.positions.dms)));
  const accuracy = sheet?.accuracy.accuracy_m ?? buoy?.accuracy_m;
  if (accuracy !== undefined) made.push(el("p", { class: "quiet" }, [buoy?.area, accuracy === null ? "accuracy unknown" : `±\u00a0${length(accuracy, page.units())}`, fromWords(sheet?.accuracy.from)].filter(Boolean).join(" · ")));
  return made;
}

/** @param {string | undefined} from */
function fromWords(from) {
  return from === "assumed" ? "assumed" : from === "default" ? "set for the harbor" : "";
}

/** @param {Sheet} sheet @param {Page} page @param {Deeds} deeds @returns {Node[]} */
function sheetParts(sheet, page, deeds) {
  const units = page.units();
  return [
    ...troubleParts(sheet, page),
    part("Boat", ...boatParts(sheet, units), el("button", { type: "button", class: "plain", click: () => deeds.fit(sheet.mooring.number) }, "Will another boat fit here?")),
    part("Tackle, anchor to bow", ...tackleParts(sheet, page)),
    part("Swing radius", ...radiusParts(sheet, units)),
    part("Neighbours, nearest circle first", ...neighbourParts(sheet, page)),
    sheet.mooring.note && part("Note", el("p", {}, sheet.mooring.note)),
  ].filter((each) => each instanceof Node);
}

/** @param {string} title @param {...Node} children */
function part(title, ...children) {
  return el("section", {}, el("h3", {}, title), ...children);
}

/** @param {Sheet} sheet @param {Page} page @returns {Node[]} */
function troubleParts(sheet, page) {
  const these = [
    ...(sheet.conflicts ?? []).map((conflict) => ({ conflict })), ...(sheet.hazards ?? []).map((hazard) => ({ hazard })), ...(sheet.unknown ?? []).map((unknown) => ({ unknown })),
  ];
  if (!these.length) return [part("Troubles", el("p", {}, "None: the circle is clear of its neighbours and of everything fixed."))];
  const { number } = sheet.mooring, view = page.store.get();
  const rows = these.map((trouble) => {
    const current = ("conflict" in trouble && (trouble.conflict.a === view.with || trouble.conflict.b === view.with)) || ("hazard" in trouble && trouble.hazard.kind === view.hazard);
    const open = () => {
      if ("conflict" in trouble) page.open(number, { with: trouble.conflict.a === number ? trouble.conflict.b : trouble.conflict.a });
      else openTrouble(trouble, page);
    };
    return el("li", {}, el("button", { type: "button", class: "row", "aria-current": current ? "true" : null, click: open }, ...troubleRow(trouble, page)), ...moreOf(trouble, page.units()));
  });
  return [part("Troubles", el("ul", { class: "rows" }, ...rows))];
}

/** @param {import("./conflicts.js").Trouble} trouble @param {Units} units @returns {Node[]} the figures behind it */
function moreOf(trouble, units) {
  if ("hazard" in trouble) return [el("p", { class: "more" }, inWords(sentence(trouble.hazard.words), units))];
  if ("unknown" in trouble) return [el("p", { class: "more" }, inWords(sentence(trouble.unknown.words), units))];
  const { distance_m, overlap_m, margin_m, accuracy_m } = trouble.conflict;
  const shared = overlap_m > 0 ? `the circles share ${length(overlap_m, units)}` : `${length(-overlap_m, units)} are left between the circles`;
  return [el("p", { class: "more" }, `Anchors ${length(distance_m, units)} apart; ${shared}; margin asked ${length(margin_m, units)}; accuracy of the distance ±\u00a0${length(accuracy_m, units)}.`)];
}

/** @param {Sheet} sheet @param {Units} units @returns {Node[]} */
function boatParts(sheet, units) {
  const { boat, largest_loa_m } = sheet.mooring;
  const largest = largest_loa_m ?? sheet.rules.largest_loa_m ?? null;
  const keeps = largest === null ? "No largest boat is set for the place." : `Largest boat for the place: ${length(largest, units)}.`;
  if (!boat) return [el("p", {}, sheet.mooring.status === "vacant" ? "Vacant. " + keeps : "No boat is on record. " + keeps)];
  return [
    el("p", { class: "boat" }, el("strong", {}, boat.name || "unnamed"), boat.kind && " · " + boat.kind),
    figures([
      ["Length overall", length(boat.loa_m, units)],
      ["With all fixed to her", length(boat.length_all_m, units)],
      ["Beam", length(boat.beam_m, units)],
      ["Draft", length(boat.draft_m, units)],
      ["Bow height", length(boat.bow_height_m, units)],
    ]),
  ];
}

/** @param {[string, string][]} rows */
function figures(rows) {
  return el("dl", { class: "figures" }, ...rows.map(([name, value]) => el("div", {}, el("dt", {}, name), el("dd", { class: value === "unknown" ? "unknown" : null }, value))));
}

/** @param {Sheet} sheet @param {Page} page @returns {Node[]} */
function tackleParts(sheet, page) {
  const units = page.units(), tackle = sheet.mooring.tackle ?? [];
  const made = [];
  const drawing = sectionDrawing(sheet, page.data.info.levels);
  if (drawing) made.push(drawing);
  else made.push(el("p", { class: "quiet" }, "Too little is on record to draw it."));
  if (tackle.length) made.push(el("ol", { class: "tackle" }, ...tackle.map((each) => tackleRow(each, units))));
  else made.push(el("p", {}, "No tackle is on record. " + wanted(["rode_m"])));
  const { depth_m, from, why } = sheet.depth;
  const source = from === "record" ? "from the card" : "from the soundings";
  made.push(figures([["Depth below datum", depth_m === null ? "unknown" : length(depth_m, units) + ", " + source]]));
  made.push(...watchParts(sheet, page));
  if (depth_m === null && why) made.push(el("p", { class: "missing" }, inWords(sentence(why), units)));
  return made;
}

/** A rise of the water above the high level that is worth a word: a surge; common practice, no source. */
const RARE_RISE_M = 2;

/** Where to look for the buoy. @param {Sheet} sheet @param {Page} page @returns {Node[]} */
function watchParts({ watch }, page) {
  const units = page.units(), levels = page.data.info.levels;
  if (watch.radius_m === null) return [];
  /** @type {Node[]} */
  const made = [figures([
    ["Buoy's watch circle, low level", length(watch.radius_m, units)],
    ["… with no pull on it, at most", length(watch.calm_m, units)],
  ])];
  if (watch.under_above_m !== null && levels && watch.under_above_m < levels.high_m + RARE_RISE_M) made.push(el("p", { class: "quiet" }, `At a level over ${length(watch.under_above_m, units)} above datum the tackle below the buoy is too short, and it is under water.`));
  return made;
}

/** @param {Part} each @param {Units} units */
function tackleRow(each, units) {
  const more = [each.material, each.size_m !== null && thickness(each.size_m, units), each.weight_kg !== null && weight(each.weight_kg, units)].filter(Boolean);
  return el("li", {},
    el("span", { class: "name" }, each.kind.replaceAll("_", " ")),
    el("span", { class: "what" }, more.join(", ")),
    el("span", { class: "value" }, each.length_m === null ? "" : length(each.length_m, units)));
}

/** @param {Sheet} sheet @param {Units} units @returns {Node[]} */
function radiusParts(sheet, units) {
  const { swing } = sheet;
  return [
    el("p", { class: "radius" }, el("strong", {}, radiusWords(swing, units)), el("span", {}, `${basisWords(swing)}, by rule: ${ruleWords(swing.rule)}`)),
    ...workingOf(swing, units),
  ];
}

/** @param {Sheet} sheet @param {Page} page @returns {Node[]} */
function neighbourParts(sheet, page) {
  const these = sheet.neighbours ?? [];
  if (!these.length) return [el("p", {}, "There is no other mooring near.")];
  return [el("ul", { class: "rows" }, ...these.map((each) => el("li", {}, neighbourRow(each, page)))), el("p", { class: "quiet" }, `${count(these.length, "neighbour")}; the figure is the gap between the circles, ${"\u2212"} where they overlap.`)];
}

/** @param {Neighbour} each @param {Page} page */
function neighbourRow(each, page) {
  const units = page.units(), buoy = page.data.byNumber.get(each.number);
  const words = [each.state ? LOOKS[each.state] : "", `${length(each.distance_m, units)} away, ${bearing(each.bearing_true_deg)} true`].filter(Boolean).join(" · ");
  return el("button", { type: "button", class: "row", click: () => page.open(each.number) },
    stateIcon(each.state || (buoy?.look ?? "unknown")),
    el("span", { class: "title" }, each.number + (buoy?.boat ? " · " + buoy.boat : "")),
    el("span", { class: "figure" }, each.gap_m === null ? "unknown" : signed(each.gap_m, units)),
    el("span", { class: "words" }, words));
}
