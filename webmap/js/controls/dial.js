// Dial: a compass card on which a direction is dragged, or turned with the arrow keys.
import { pointOf, roundTheCompass } from "../core/compass.js";
import { el, svg } from "../core/dom.js";
import { arrow, pointing } from "./arrows.js";

/** A finger turns by whole steps; what is finer is typed. */
const STEP_DEG = 5;
/** @type {Record<string, number>} */
const KEYS = { ArrowRight: STEP_DEG, ArrowUp: STEP_DEG, ArrowLeft: -STEP_DEG, ArrowDown: -STEP_DEG, PageUp: 45, PageDown: -45 };

/** @typedef {import("./arrows.js").Mover} Mover */

/**
 * @param {Mover} mover @param {{id: string, label: string, turned(deg: number): void}} how
 */
export function dial(mover, { id, label, turned }) {
  let deg = 0;
  const hand = svg("g", {}, svg("g", { transform: "scale(0.84)" }, arrow(mover)));
  const knob = svg("circle", { class: "knob", cx: 0, cy: -50, r: 7 });
  const grip = svg("g", {}, knob);
  const box = el(
    "div",
    { id, class: "dial " + mover, role: "slider", tabindex: 0, "aria-label": label, "aria-valuemin": 0, "aria-valuemax": 359 },
    svg(
      "svg",
      { viewBox: "-66 -66 132 132", "aria-hidden": "true" },
      svg("circle", { class: "card", r: 50 }),
      svg("path", { class: "ticks", d: ticks(10, 4) }),
      svg("path", { class: "ticks long", d: ticks(90, 8) }),
      ...letters(),
      hand,
      grip,
    ),
  );

  /** @param {number} next */
  function show(next) {
    deg = Math.round(roundTheCompass(next)) % 360;
    hand.setAttribute("transform", `rotate(${pointing(mover, deg)})`);
    grip.setAttribute("transform", `rotate(${deg})`);
    box.setAttribute("aria-valuenow", String(deg));
    box.setAttribute("aria-valuetext", `${label.toLowerCase()} ${deg} degrees, ${pointOf(deg)}`);
  }

  /** @param {PointerEvent} event */
  function follow(event) {
    const at = box.getBoundingClientRect();
    const x = event.clientX - at.x - at.width / 2;
    const y = event.clientY - at.y - at.height / 2;
    const next = (Math.round((Math.atan2(x, -y) * 180) / Math.PI / STEP_DEG) * STEP_DEG + 360) % 360;
    if (next !== deg) turned(next);
  }
  box.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    box.setPointerCapture(event.pointerId);
    follow(event);
  });
  box.addEventListener("pointermove", (event) => {
    if (box.hasPointerCapture(event.pointerId)) follow(event);
  });
  box.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const by = event.key === "Home" ? -deg : KEYS[event.key];
    if (by === undefined) return;
    event.preventDefault();
    turned(roundTheCompass(deg + (event.shiftKey ? Math.sign(by) : by)));
  });
  show(0);

  return { box, show };
}

/** @param {number} everyDeg @param {number} length */
function ticks(everyDeg, length) {
  let d = "";
  for (let deg = 0; deg < 360; deg += everyDeg) {
    const sin = Math.sin((deg * Math.PI) / 180);
    const cos = Math.cos((deg * Math.PI) / 180);
    d += `M${(50 * sin).toFixed(2)} ${(-50 * cos).toFixed(2)}L${((50 - length) * sin).toFixed(2)} ${(-(50 - length) * cos).toFixed(2)}`;
  }
  return d;
}

function letters() {
  return [
    ["N", 0, -57.5],
    ["E", 59.5, 0],
    ["S", 0, 58.5],
    ["W", -59.5, 0],
  ].map(([text, x, y]) => svg("text", { class: "letter", x, y, dy: "0.36em" }, text));
}
