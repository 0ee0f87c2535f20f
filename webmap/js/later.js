// Later: what only serves something that is not open yet. It is fetched when that is opened, and in idle time once the map can be used, so that the
// first opening waits for no radio link.
import { Refusal } from "./api.js";

const PARTS = {
  sheet: () => import("./sheetparts.js"),
  answers: () => import("./answers.js"),
  fitting: () => import("./fitting.js"),
  weather: () => import("./weather.js"),
  room: () => import("./roomparts.js"),
  waiting: () => import("./waiting.js"),
  whatif: () => import("./whatif.js"),
  taking: () => import("./taking.js"),
  harbors: () => import("./harbors.js"),
  onrecord: () => import("./onrecord.js"),
  live: () => import("./live.js"),
  public: () => import("./publicpart.js"),
  person: () => import("./person.js"),
};

/** @typedef {typeof PARTS} Parts */
/** @typedef {keyof Parts} Part */

/** What is opened sooner is fetched sooner. @type {Part[]} */
const SOON = ["live", "sheet", "answers", "fitting", "room", "weather", "waiting", "onrecord", "taking", "whatif", "person"];

/**
 * @template {Part} P
 * @param {P} name @returns {Promise<Awaited<ReturnType<Parts[P]>>>} the browser fetches it once, and again only where that has failed
 */
export async function part(name) {
  try {
    return /** @type {Awaited<ReturnType<Parts[P]>>} */ (await PARTS[name]());
  } catch (fault) {
    // A module that cannot be fetched is a TypeError; anything else is a mistake in the module, which is not to be called something else.
    if (!(fault instanceof TypeError)) throw fault;
    throw new Refusal("The service cannot be reached.", 0);
  }
}

/**
 * What is made of a part, once, however often it is asked for; after a failure it may be asked for again.
 * @template {Part} P @template T
 * @param {P} name @param {(module: Awaited<ReturnType<Parts[P]>>) => T} make
 */
export function later(name, make) {
  /** @type {Promise<T> | null} */
  let coming = null;
  /** @type {T | null} */
  let made = null;

  async function bring() {
    try {
      return made = make(await part(name));
    } catch (fault) {
      coming = null;
      throw fault;
    }
  }

  return {
    get: () => coming ??= bring(),
    /** Null until it has come. */
    here: () => made,
  };
}

/** Fetches the parts one after another while nothing else is to be done. Where that fails, it is told when the part is wanted. */
export async function fetchSoon() {
  const idle = () => new Promise((done) => { if (typeof requestIdleCallback === "function") requestIdleCallback(done); else setTimeout(done, 200); });
  for (const name of SOON) {
    await idle();
    await part(name).catch(() => {});
  }
}
