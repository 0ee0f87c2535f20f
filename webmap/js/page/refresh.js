// Refresh: brings in what lies in the harbor, and again when the service holds a newer revision.
/** @import { HarborInfo, Page } from "../core/types" */
import { load } from "../core/data.js";
import { createBanner } from "./banner.js";
import { askInfo, request } from "../core/loadharbor.js";

/** How often the revision is looked at while the page is seen. */
const LOOK_MS = 15000;
/** A slow answer holds the others back no longer than this. */
const PATIENCE_MS = 400;

/**
 * @param {Page} page @param {import("../core/loadharbor.js").Coming} first asked for already
 * @param {{came(piece: import("../core/loadharbor.js").Piece): void, enough(): void, usable(): void, harbor(): void}} callbacks `enough`:
 *   it
 *   can be drawn; `usable`: it is, for the first time
 */
export function keepFresh(page, first, callbacks) {
  const { data } = page;
  const banner = createBanner();
  let since = new Date();
  let unreached = false;
  /** The pieces that are on their way, or have come. @type {Promise<boolean>} */
  let coming;

  /** @returns {Promise<boolean>} whether all of it has come */
  async function all(pieces = request(data.info.slug)) {
    /** @type {string[]} */
    const missing = [];
    let why = "";
    const waiting = new Set(["moorings", "check"]);
    /** @param {import("../core/loadharbor.js").Piece} piece */
    const done = (piece) => {
      if (waiting.delete(piece) && !waiting.size) {
        callbacks.enough();
        markUsable(callbacks.usable);
      }
    };
    const late = setTimeout(callbacks.enough, PATIENCE_MS);
    banner.clear();
    await load(
      data,
      pieces,
      (piece) => {
        done(piece);
        callbacks.came(piece);
      },
      (piece, fault) => {
        missing.push(piece);
        why = fault.message;
        done(piece);
      },
    );
    clearTimeout(late);
    if (missing.length) banner.missing(missing, why, () => all());
    else since = new Date();
    return !missing.length;
  }

  /** @returns {Promise<boolean>} whether what the map shows is what the service holds */
  async function look() {
    /** @type {HarborInfo} */
    let info;
    try {
      info = await askInfo(data.info.slug);
    } catch (fault) {
      unreached = true;
      banner.stale(/** @type {Error} */ (fault).message, since, look);
      return false;
    }
    if (unreached) banner.clear();
    unreached = false;
    if (info.revision === data.info.revision) return coming;
    // A harbor that was empty has no place on the map yet.
    if (!data.info.bounds && info.bounds) location.reload();
    data.info = info;
    callbacks.harbor();
    coming = all();
    const whole = await coming;
    page.say("The harbor has changed; the map shows it now.");
    return whole;
  }

  // A past stays as it was.
  if (!data.info.as_of) {
    const glance = () => {
      if (!document.hidden) look();
    };
    setInterval(glance, LOOK_MS);
    document.addEventListener("visibilitychange", glance);
  }
  coming = all(first);
  return {
    look,
    /** Brings all of it in once more: somebody else asks, who may see other things. */
    anew() {
      coming = all();
    },
  };
}

/** For the measure of how soon the page can be used: moorings and troubles are drawn and listed. @param {() => void} first */
function markUsable(first) {
  requestAnimationFrame(() =>
    requestAnimationFrame(() => {
      if (document.documentElement.dataset.usable) return;
      performance.mark("usable");
      document.documentElement.dataset.usable = "yes";
      first();
    }),
  );
}
