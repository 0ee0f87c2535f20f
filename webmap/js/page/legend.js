// Legend: what the map's shapes and tints mean, in the same words as the lists.
/** @import { Look, Page, Theme, Units } from "../core/types" */
import { byId, el, put, svg } from "../core/dom.js";
import { hazardIcon, stateIcon } from "../core/icons.js";
import { themeOf } from "../map/theme.js";
import { inUnits, unitName } from "../words/units.js";
import { levelWords } from "./settings.js";

/** @type {[Look, string, string][]} */
const LOOKS = [
  ["touching", "touching", "the circles overlap by more than the positions can be out; the shared water is hatched"],
  ["may_touch", "may touch", "they touch or not, within the accuracy of the positions; open-hatched"],
  ["tight", "inside the margin", "apart, but closer than the margin asked"],
  ["trouble", "trouble", "no conflict, but something else fails: a hazard, the tackle, a limit or the record"],
  ["clear", "clear", "it passes every check"],
  ["unsaid", "not fully checked", "nothing fails, but a record is missing"],
  ["vacant", "vacant", "no boat; keeps the water of the largest boat set for the place"],
  ["unknown", "unknown", "the swing radius is not known; the circle is an upper bound, or only a symbol"],
];

/** Of hulls that lie to a weather. @type {[import("../core/types").PairState, string, string][]} */
const HULLS = [
  ["touching", "touching", "the hulls overlap by more than the positions can be out"],
  ["may_touch", "may touch", "they touch or not, within the accuracy of the positions"],
  ["tight", "inside the margin", "apart, but closer than the margin asked"],
  ["clear", "clear", "farther apart than the margin"],
];

/** @param {Page} page */
export function legend({ store, scene, data, units: unitsNow }) {
  const box = byId("legend");
  const button = byId("legend-button");
  /** @param {boolean} open */
  function toggle(open) {
    box.hidden = !open;
    button.setAttribute("aria-expanded", String(open));
    if (open) byId("legend-close").focus();
    else button.focus();
  }
  button.addEventListener("click", () => toggle(Boolean(box.hidden)));
  byId("legend-close").addEventListener("click", () => toggle(false));

  function render() {
    const { contrast, level, panel } = store.get();
    const { places: open, change: changed, tide } = scene.get();
    const theme = themeOf(contrast);
    const units = unitsNow();
    const laid = panel === "lie";
    const fresh = data.fresh.size > 0;
    const caution = tide?.caution ?? "";
    put(
      byId("legend-body"),
      laid
        ? el(
            "ul",
            {},
            ...HULLS.map(([state, name, words]) => row(hull(state), name, words)),
            row(stateIcon("unknown"), "unknown", "how the boat lies cannot be told; something is not on record"),
          )
        : el(
            "ul",
            {},
            ...LOOKS.map(([look, name, words]) => row(stateIcon(look), name, words)),
            row(
              hazardIcon(),
              "hazard",
              "the spot where a circle is worst: shore, shoal water, fairway, closed water, the water kept clear beside them, " +
                "or the edge of its area",
            ),
            changed && row(wouldBe(), "with the change", "a circle as it would be; long dashes"),
            open && row(openWater(), "open water", "where the anchor may stand of the boat that was asked for; falling hatch"),
          ),
      fresh &&
        el("ul", {}, row(changedMark(), "changed by another", "and not opened since: strokes round the circle, until its sheet is opened")),
      el("h3", {}, "Depth"),
      el("p", {}, `Drawn for ${levelWords(level, data, units)}. ${theme.contrast ? "" : "Each tint begins at its shallow end."}`),
      el("ul", { class: "tints" }, ...tints(theme, units).map(([colour, words]) => row(swatch(colour), words, ""))),
      el("h3", {}, "Lines"),
      el(
        "ul",
        {},
        row(stroke("fairway"), "fairway", ""),
        row(stroke("closed"), "closed water", ""),
        row(stroke("area"), "edge of an area", ""),
        row(band(), "kept clear", "beside shore, fairway and closed water"),
      ),
      el(
        "p",
        { class: "quiet" },
        laid
          ? "Boats are drawn at true size, lying to the wind and stream in the corner of the map, each with the line from its anchor " +
              "and its faint swing circle."
          : "Boats are drawn at true size, lying to a wind from the south-west.",
      ),
      caution && el("p", { class: "quiet" }, "Tide: " + caution),
      el("p", { class: "quiet library" }, "Map library: Leaflet 1.9.4, BSD 2-Clause."),
    );
  }

  store.subscribe(["units", "level", "contrast", "panel"], render);
  scene.subscribe(["info", "places", "change", "marked", "tide"], render);
  return { isOpen: () => !box.hidden, close: () => toggle(false) };
}

/** @param {Node} icon @param {string} name @param {string} words */
function row(icon, name, words) {
  return el("li", {}, icon, el("span", {}, el("strong", {}, name), words && " " + words));
}

/** A hull in the look of a state. @param {import("../core/types").PairState} state */
function hull(state) {
  const outer = state === "touching" || state === "may_touch";
  return svg(
    "svg",
    { class: "icon hull-mark " + state, viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    outer && svg("path", { d: "M12 0C18 5 19 10 19 23.4H5C5 10 6 5 12 0z", class: "outer" }),
    svg("path", { d: "M12 4C15.5 8 16 12 16 20.5H8C8 12 8.5 8 12 4z", class: "side" }),
  );
}

/** A strip beside a line. */
function band() {
  return svg(
    "svg",
    { class: "icon edge fairway", viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("rect", { x: 0, y: 5, width: 24, height: 9, class: "band" }),
    svg("path", { d: "M0 14h24", class: "line" }),
  );
}

function openWater() {
  return svg(
    "svg",
    { class: "icon open-water", viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("rect", { x: 2, y: 4, width: 20, height: 16 }),
    svg("path", { d: "M2 12l8 8M2 4l16 16M10 4l12 12M18 4l4 4" }),
  );
}

function wouldBe() {
  return svg(
    "svg",
    { class: "icon change-line would", viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("circle", { cx: 12, cy: 12, r: 9 }),
  );
}

function changedMark() {
  const strokes = Array.from({ length: 12 }, (_, i) => {
    const x = Math.cos((i * Math.PI) / 6);
    const y = Math.sin((i * Math.PI) / 6);
    return `M${(12 + 8 * x).toFixed(1)} ${(12 + 8 * y).toFixed(1)}L${(12 + 11 * x).toFixed(1)} ${(12 + 11 * y).toFixed(1)}`;
  });
  return svg(
    "svg",
    { class: "icon changed-mark", viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("circle", { cx: 12, cy: 12, r: 5.5, class: "line" }),
    svg("path", { d: strokes.join(""), class: "line" }),
  );
}

/** @param {string} colour */
function swatch(colour) {
  return svg(
    "svg",
    { class: "icon", viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("rect", { x: 1, y: 4, width: 22, height: 16, fill: colour, stroke: "currentColor", "stroke-width": 0.6 }),
  );
}

/** @param {string} kind */
function stroke(kind) {
  return svg(
    "svg",
    { class: "icon edge " + kind, viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("path", { d: "M0 12h24", class: "line" }),
    kind === "closed" && svg("path", { d: "M4 12v5M12 12v5M20 12v5", class: "line" }),
  );
}

/** @param {Theme} theme @param {Units} units @returns {[string, string][]} */
function tints(theme, units) {
  const figure = (/** @type {number} */ m) => Math.round(inUnits(m, units));
  const unit = "\u00a0" + unitName(units);
  /** @type {[string, string][]} */
  const made = [
    [theme.land, "land"],
    [theme.drying, "dries"],
  ];
  let from = 0;
  for (const [to, colour] of theme.depths) {
    made.push([colour, `${figure(from)} to ${figure(to)}${unit}`]);
    from = to;
  }
  made.push([theme.deep, `over ${figure(from)}${unit}`], [theme.unsounded, "depth unknown"]);
  // In contrast all water is white: the lines and soundings tell its depth.
  return theme.contrast ? [...made.slice(0, 2), [theme.deep, "water"]] : made;
}
