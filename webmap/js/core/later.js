// Later: what only serves something that is not open yet (page/parts.js). It is fetched when that is opened, and in idle time once the map
// can be used, so that the first opening waits for no radio link.
import { Refusal } from "./api.js";

/** @typedef {typeof import("../page/parts.js")} Parts */
/** @typedef {keyof Parts} Part */

/**
 * @template {Part} P
 * @param {P} name @returns {Promise<Parts[P]>} the browser fetches it once, and again only where that has failed
 */
export async function part(name) {
  try {
    return (await import("../page/parts.js"))[name];
  } catch (fault) {
    // A module that cannot be fetched is a TypeError; anything else is a mistake in the module, which is not to be called something else.
    if (!(fault instanceof TypeError)) throw fault;
    throw new Refusal("The service cannot be reached.", 0);
  }
}

/**
 * What is made of a part, once, however often it is asked for; after a failure it may be asked for again.
 * @template {Part} P @template T
 * @param {P} name @param {(module: Parts[P]) => T} make
 */
export function later(name, make) {
  /** @type {Promise<T> | null} */
  let coming = null;
  /** @type {T | null} */
  let made = null;

  async function bring() {
    try {
      return (made = make(await part(name)));
    } catch (fault) {
      coming = null;
      throw fault;
    }
  }

  return {
    get: () => (coming ??= bring()),
    /** Null until it has come. */
    here: () => made,
  };
}

/** Fetches the parts while nothing else is to be done. Where that fails, it is told when one of them is needed. */
export async function fetchSoon() {
  await new Promise((done) => {
    if (typeof requestIdleCallback === "function") requestIdleCallback(done);
    else setTimeout(done, 200);
  });
  await part("sheet").catch(() => {});
}
