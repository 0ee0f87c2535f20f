// What-if chart: the circles of an area as they would be with a change, laid over those that are.
/** @import { Buoy, Changed, Frame, HarborData } from "../core/types" */
import { byUrgency, drawNumbers, inFrame, onScreen, trace } from "./circles.js";
import { createMeasure, createRoom } from "./labels.js";
import { createHatches, drawLenses } from "./marks.js";

/** Long dashes, which no circle of the map has, so that they are told apart without their colour too. */
const DASH = [13, 6];
/** Smaller circles than this have shorter dashes; of still smaller ones a dash would be a blot. */
const SHORT_BELOW_PX = 24;
const PLAIN_BELOW_PX = 7;
const SHORT = [6, 3];
/** Of a circle whose radius is not known. */
const DOTS = [1, 4];
/** @type {number[]} */
const PLAIN = [];

const hatches = createHatches();
const measure = createMeasure();

/** @param {Frame} frame @param {Changed} changed @param {HarborData} data the harbor as it is @param {number} nearLon */
export function drawChanged(frame, changed, data, nearLon) {
  const { ctx, theme } = frame;
  if (changed.mode !== "is") {
    const shown = inFrame(frame, byUrgency(changed.buoys.filter((each) => each.area === changed.area)));
    drawLenses(frame, asWouldBe(changed, data), hatches, nearLon);
    for (const [width, colour] of /** @type {[number, string][]} */ ([
      [4.5, theme.halo],
      [2.2 * theme.width, theme.openEdge],
    ])) {
      ctx.lineWidth = width;
      ctx.strokeStyle = colour;
      ctx.lineCap = "butt";
      for (const dash of [DASH, SHORT, DOTS, PLAIN]) {
        ctx.setLineDash(dash);
        ctx.beginPath();
        for (const each of shown) if (dashOf(each) === dash) trace(ctx, each);
        ctx.stroke();
      }
    }
    ctx.setLineDash([]);
    drawNumbers(frame, shown, createRoom(), measure);
  }
  if (changed.pair) drawPair(frame, changed, data);
}

/** @param {import("./circles.js").Shown} shown */
function dashOf({ buoy, rx }) {
  if (rx < PLAIN_BELOW_PX) return PLAIN;
  if (buoy.radius_m === null) return DOTS;
  return rx < SHORT_BELOW_PX ? SHORT : DASH;
}

/**
 * The field whose shared water is drawn: the conflicts that stay, and the new ones.
 * @param {Changed} changed
 * @param {HarborData} data
 * @returns {HarborData}
 */
function asWouldBe({ buoys, byNumber, area, added, gone }, data) {
  const name = (/** @type {{a: string, b: string}} */ each) => [each.a, each.b].sort().join("\n");
  const left = new Set(gone.map(name));
  const within = (/** @type {string} */ number) => byNumber.get(number)?.area === area;
  const stay = data.report.conflicts.filter((each) => (within(each.a) || within(each.b)) && !left.has(name(each)));
  return { ...data, buoys, byNumber, report: { conflicts: [...stay, ...added], hazards: [], troubles: [], unknown: [] } };
}

/** The pair that was chosen in the list, as both are shown. @param {Frame} frame @param {Changed} changed @param {HarborData} data */
function drawPair(frame, { pair, mode, byNumber }, data) {
  const { ctx, theme } = frame;
  const circles = mode === "is" ? [data.byNumber] : mode === "would" ? [byNumber] : [data.byNumber, byNumber];
  for (const of of circles) {
    for (const number of pair ?? []) {
      const buoy = /** @type {Buoy | undefined} */ (of.get(number));
      if (!buoy) continue;
      ctx.beginPath();
      trace(ctx, onScreen(frame, buoy), -3);
      ctx.lineWidth = of === byNumber ? 2.6 : 1.4;
      ctx.setLineDash(of === byNumber ? DASH : []);
      ctx.strokeStyle = theme.selected;
      ctx.stroke();
    }
  }
  ctx.setLineDash([]);
}
