// Arrows: what the wind and the stream look like in the form and on the map: the wind's has feathers, the stream's two shafts.
import { svg } from "../core/dom.js";

/** @typedef {"wind" | "stream"} Mover */

/** Pointing up the page, from 34 below the middle to 34 above it. @type {Record<Mover, string[]>} */
const SHAPES = {
  wind: ["M0 34V-30", "M0 33l-9 9M0 26l-9 9M0 19l-9 9"],
  stream: ["M-4.5 36V-20M4.5 36V-20"],
};
/** @type {Record<Mover, string>} */
const HEADS = { wind: "M0 -36l9 18l-9 -5l-9 5z", stream: "M0 -36l12 18h-24z" };

/** An arrow in a coordinate system of its own, its middle at the origin. @param {Mover} mover @returns {SVGGElement} */
export function arrow(mover) {
  return svg(
    "g",
    { class: "arrow " + mover },
    ...SHAPES[mover].map((d) => svg("path", { d, class: "shaft" })),
    svg("path", { d: HEADS[mover], class: "head" }),
  );
}

/** Where an arrow points: the wind's away from where it blows. @param {Mover} mover @param {number} deg */
export function pointing(mover, deg) {
  return mover === "wind" ? deg + 180 : deg;
}
