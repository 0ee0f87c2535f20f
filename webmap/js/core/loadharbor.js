// Load harbor: which harbor the page is about, and everything that lies in it, asked for at once.
/** @import { HarborEntry, HarborInfo } from "./types" */
import { slugOn } from "./address.js";
import { ask, harborPath } from "./api.js";

/** @typedef {"moorings" | "check" | "areas" | "fairways" | "shoreline" | "depth_areas" | "depth_lines" | "soundings"} Piece */
/** @typedef {Record<Piece, Promise<any>>} Coming */

/** @type {Piece[]} what matters most comes first */
const PIECES = ["moorings", "check", "shoreline", "depth_areas", "areas", "fairways", "depth_lines", "soundings"];

/** @param {string} slug @returns {Coming} */
export function request(slug) {
  const coming = Object.fromEntries(PIECES.map((piece) => [piece, ask(harborPath(slug, piece))]));
  // Whoever waits for it hears of a failure; until somebody does, it is none of the browser's business.
  for (const answer of Object.values(coming)) answer.catch(() => {});
  return /** @type {Coming} */ (coming);
}

/**
 * @param {string} slug from the address; empty: the only one @param {string} on the day of which it is to be shown; empty: as it is
 * @returns {Promise<{harbors: Promise<HarborEntry[]>, chosen: {info: HarborInfo, coming: Coming} | null}>} null: somebody has to choose
 *   among the harbors
 */
export async function loadHarbor(slug, on = "") {
  /** @type {Promise<HarborEntry[]>} */
  const harbors = ask("harbors").then((answer) => answer.harbors ?? []);
  harbors.catch(() => {});
  const only = slug ? [{ slug }] : await harbors;
  if (only.length !== 1) return { harbors, chosen: null };
  // The harbor's own answer need not be waited for to ask for the rest.
  const asked = slugOn(only[0].slug, on);
  const coming = request(asked);
  return { harbors, chosen: { info: await askInfo(asked), coming } };
}

/** What the harbor says of itself, under the name by which it was asked for. @param {string} slug @returns {Promise<HarborInfo>} */
export async function askInfo(slug) {
  return { ...(await ask(harborPath(slug))), slug };
}
