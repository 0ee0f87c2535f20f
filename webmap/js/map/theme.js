// Theme: the colours of the map. Land, drying ground and depths follow INT 1 (IHO S-4); rings and marks are taken from Okabe and Ito's
// palette, which colour-blind people can tell apart ("Color Universal Design", 2008). In contrast all is black on white.
/** @import { Theme, Look } from "../core/types" */

const OKABE_ITO = { orange: "#E69F00", blue: "#0072B2", vermilion: "#D55E00", purple: "#CC79A7", black: "#000000" };

const FONT = '"Inter", "Segoe UI", Roboto, "Helvetica Neue", "Noto Sans", "Liberation Sans", Arial, sans-serif';
const SERIF = 'Georgia, "Iowan Old Style", "Noto Serif", "Liberation Serif", "Times New Roman", serif';

/** @type {Theme} */
const CHART = {
  contrast: false,
  ink: "#16262f",
  quiet: "#4a5d66",
  halo: "rgba(255,255,255,0.92)",
  font: FONT,
  serif: SERIF,
  land: "#f0e2b6",
  landEdge: "#6b5d34",
  drying: "#b3d0a4",
  // The shallower the water, the deeper the blue; each tint holds down to the depth beside it, in metres.
  depths: [
    [2, "#93c8e8"],
    [5, "#bfdff2"],
    [10, "#e0f0f9"],
  ],
  deep: "#ffffff",
  unsounded: "#eceeed",
  depthLine: "#5f93b8",
  sounding: "#4b6b82",
  areaEdge: "#5c6b72",
  areaName: "#33454e",
  fairway: "#a3557f",
  closed: "#a3557f",
  ringFill: "rgba(255,255,255,0.42)",
  hull: "#ffffff",
  width: 1,
  ring: {
    clear: "#33505f",
    tight: OKABE_ITO.blue,
    may_touch: OKABE_ITO.vermilion,
    touching: OKABE_ITO.vermilion,
    trouble: "#8f2d63",
    unsaid: "#33505f",
    vacant: "#5c7480",
    unknown: "#33505f",
  },
  hazard: "#8f2d63",
  lens: OKABE_ITO.vermilion,
  selected: "#000000",
  tried: OKABE_ITO.black,
  openFill: "rgba(0,158,115,0.17)",
  openHatch: "rgba(0,98,72,0.42)",
  openEdge: "#006248",
  misfit: "#b34a00",
  misfitFill: "rgba(213,94,0,0.10)",
  misfitWords: "#a34700",
};

/** @type {Record<Look, string>} */
const BLACK = {
  clear: "#000",
  tight: "#000",
  may_touch: "#000",
  touching: "#000",
  trouble: "#000",
  unsaid: "#000",
  vacant: "#000",
  unknown: "#000",
};

/** @type {Theme} */
const CONTRAST = {
  ...CHART,
  contrast: true,
  ink: "#000",
  quiet: "#000",
  halo: "#fff",
  land: "#d9d9d9",
  landEdge: "#000",
  drying: "#ececec",
  depths: [
    [2, "#fff"],
    [5, "#fff"],
    [10, "#fff"],
  ],
  deep: "#fff",
  unsounded: "#fff",
  depthLine: "#777",
  sounding: "#333",
  areaEdge: "#000",
  areaName: "#000",
  fairway: "#000",
  closed: "#000",
  ringFill: "rgba(255,255,255,0)",
  width: 1.6,
  ring: BLACK,
  hazard: "#000",
  lens: "#000",
  selected: "#000",
  tried: "#000",
  openFill: "rgba(255,255,255,0)",
  openHatch: "#000",
  openEdge: "#000",
  misfit: "#000",
  misfitFill: "rgba(255,255,255,0)",
  misfitWords: "#000",
};

/** @param {boolean} contrast */
export function themeOf(contrast) {
  return contrast ? CONTRAST : CHART;
}

/**
 * The tint of a band of water by its shallow end at the level drawn: never deeper than the water is.
 * @param {Theme} theme @param {number | null} shallowM null where there is no shallow end: it dries
 */
export function depthTint(theme, shallowM) {
  if (shallowM === null || shallowM < 0) return theme.drying;
  for (const [below, tint] of theme.depths) if (shallowM < below) return tint;
  return theme.deep;
}
