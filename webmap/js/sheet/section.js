// Section: the tackle from anchor to bow, drawn to scale through the water at low and high level. It is a drawing: no
// figure on it is worked out here; those that are written beside it come from the working.
/** @import { Levels, Part, Sheet } from "../core/types" */
import { svg } from "../core/dom.js";

const WIDTH = 340;
const PAD = 14;
/** The drawing may be this high at most; then the scale gives way. */
const MAX_HEIGHT = 190;

/**
 * What is needed for the drawing, in metres; null where the record or the working has none.
 * @typedef {{rode_m: number, depth_m: number, bow_m: number, length_m: number, draft_m: number, low_m: number, high_m: number}} Measures
 */

/** @param {Sheet} sheet @param {Levels | null} levels @returns {Measures | null} */
export function measuresOf(sheet, levels) {
  const steps = new Map((sheet.swing.working ?? []).map((step) => [step.symbol, step.value]));
  const boat = sheet.mooring.boat;
  const rode_m = steps.get("L") ?? sumOf(sheet.mooring.tackle ?? []);
  const depth_m = sheet.depth.depth_m;
  const length_m = steps.get("o") ?? boat?.length_all_m ?? boat?.loa_m ?? null;
  if (rode_m === null || depth_m === null || length_m === null) return null;
  return {
    rode_m,
    depth_m,
    length_m,
    bow_m: steps.get("b") ?? boat?.bow_height_m ?? 0,
    draft_m: boat?.draft_m ?? 0,
    low_m: levels?.low_m ?? 0,
    high_m: levels?.high_m ?? levels?.low_m ?? 0,
  };
}

/** The winter marker and its line lie on the sunk chain: no part of what holds the boat. @param {Part} part */
export const isWinterPart = (part) => part.kind === "marker" || part.kind === "marker_line";

/** @param {Part[]} tackle */
function sumOf(tackle) {
  const known = tackle.filter((part) => part.length_m !== null && !isWinterPart(part));
  return known.length ? known.reduce((sum, part) => sum + (part.length_m ?? 0), 0) : null;
}

/** How far the bow lies from above the anchor, the rode drawn taut. For the drawing only. @param {Measures} m @param {number} level_m */
export function bowAway(m, level_m) {
  const rise = Math.max(0, m.depth_m + level_m) + m.bow_m;
  return rise < m.rode_m ? Math.sqrt((m.rode_m - rise) * (m.rode_m + rise)) : 0;
}

/** @param {Sheet} sheet @param {Levels | null} levels @returns {SVGSVGElement | null} null where too little is known */
export function sectionDrawing(sheet, levels) {
  const m = measuresOf(sheet, levels);
  if (!m) return null;
  const low = bowAway(m, m.low_m);
  const high = bowAway(m, m.high_m);
  const right = Math.max(low, high) + m.length_m;
  const top = m.high_m + Math.max(m.bow_m, m.length_m * 0.12) + 1;
  const bottom = -m.depth_m;
  const scale = Math.min((WIDTH - 2 * PAD) / right, MAX_HEIGHT / (top - bottom));
  const height = (top - bottom) * scale + 2 * PAD;
  const x = (/** @type {number} */ away_m) => PAD + away_m * scale;
  const y = (/** @type {number} */ up_m) => PAD + (top - up_m) * scale;

  const drawing = svg("svg", {
    class: "section",
    viewBox: `0 0 ${WIDTH} ${height.toFixed(1)}`,
    role: "img",
    "aria-label": "Section through the water, to scale: bed, rode, buoy and hull at low and at high level",
  });
  drawing.append(
    svg("rect", { class: "high-water", x: 0, y: y(m.high_m), width: WIDTH, height: Math.max(0, y(bottom) - y(m.high_m)) }),
    svg("rect", { class: "water", x: 0, y: y(m.low_m), width: WIDTH, height: Math.max(0, y(bottom) - y(m.low_m)) }),
    svg("line", { class: "level high", x1: 0, x2: WIDTH, y1: y(m.high_m), y2: y(m.high_m) }),
    svg("line", { class: "level", x1: 0, x2: WIDTH, y1: y(m.low_m), y2: y(m.low_m) }),
  );
  if (m.high_m > m.low_m) drawing.append(lying(m, m.high_m, high, "ghost", x, y, scale, sheet));
  drawing.append(lying(m, m.low_m, low, "", x, y, scale, sheet));
  drawing.append(
    svg("rect", { class: "bed", x: 0, y: y(bottom), width: WIDTH, height: height - y(bottom) }),
    svg("path", { class: "anchor", d: `M${x(0) - 6} ${y(bottom)}h12l-3 -6h-6z` }),
    svg("text", { x: WIDTH - 4, y: y(m.low_m) + 11, class: "label end" }, "low"),
  );
  if ((m.high_m - m.low_m) * scale > 9) drawing.append(svg("text", { x: WIDTH - 4, y: y(m.high_m) + 11, class: "label end" }, "high"));
  return drawing;
}

/**
 * @param {Measures} m @param {number} level_m @param {number} away_m of the bow @param {string} kind
 * @param {(m: number) => number} x @param {(m: number) => number} y @param {number} scale @param {Sheet} sheet
 */
function lying(m, level_m, away_m, kind, x, y, scale, sheet) {
  const bow = { x: x(away_m), y: y(level_m + m.bow_m) };
  const anchor = { x: x(0), y: y(-m.depth_m) };
  const group = svg("g", { class: "lying " + kind });
  let done = 0;
  const parts = (sheet.mooring.tackle ?? []).filter((part) => part.length_m && !isWinterPart(part));
  const along = (/** @type {number} */ share) => ({ x: anchor.x + (bow.x - anchor.x) * share, y: anchor.y + (bow.y - anchor.y) * share });
  for (const part of parts.length ? parts : [{ kind: "rode", length_m: m.rode_m }]) {
    const from = along(done / m.rode_m);
    done = Math.min(m.rode_m, done + (part.length_m ?? 0));
    const to = along(done / m.rode_m);
    group.append(svg("line", { class: /chain/.test(part.kind) ? "chain" : "rope", x1: from.x, y1: from.y, x2: to.x, y2: to.y }));
  }
  const share = buoyShare(sheet.mooring.tackle ?? [], m.rode_m);
  if (share !== null) group.append(svg("circle", { class: "buoy-mark", cx: along(share).x, cy: along(share).y, r: 3.5 }));
  group.append(svg("path", { class: "hull", d: hull(bow.x, y(level_m), m, scale) }));
  return group;
}

/** How far up the rode the buoy sits, as a share of its length. @param {Part[]} tackle @param {number} rode_m */
function buoyShare(tackle, rode_m) {
  const at = tackle.findIndex((part) => part.kind === "buoy");
  if (at < 0) return null;
  return Math.min(1, tackle.slice(0, at).reduce((sum, part) => sum + (part.length_m ?? 0), 0) / rode_m);
}

/** The side of a hull, bow to the left. @param {number} bowX @param {number} waterY @param {Measures} m @param {number} scale */
function hull(bowX, waterY, m, scale) {
  const l = m.length_m * scale;
  const b = Math.max(m.bow_m, m.length_m * 0.06) * scale;
  const t = m.draft_m * scale;
  const body = Math.min(t, l * 0.05);
  /** A point at a share of the length from the bow. @param {number} share @param {number} y */
  const at = (share, y) => `${(bowX + l * share).toFixed(1)} ${y.toFixed(1)}`;
  const under = waterY + body;
  const keel = t > body + 1 ? `L${at(0.62, under)}L${at(0.6, waterY + t)}L${at(0.46, waterY + t)}L${at(0.4, under)}` : "";
  return (
    `M${at(0, waterY - b)}Q${at(0.5, waterY - b * 0.75)} ${at(1, waterY - b * 0.8)}L${at(0.97, waterY)}` +
    `Q${at(0.85, under)} ${at(0.7, under)}${keel}Q${at(0.2, under)} ${at(0.07, waterY)}Z`
  );
}
