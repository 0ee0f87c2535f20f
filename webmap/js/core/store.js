// Store: an object whose fields the parts of the page subscribe to. What the address holds is kept in one (the view), what is shown beside
// it in another (the scene).
/** @import { How, Observable, Scene, View } from "./types" */

/**
 * @template {object} T
 * @param {T} first @param {(a: unknown, b: unknown) => boolean} [same] whether two values of a field are equal
 * @returns {Observable<T>}
 */
export function createStore(first, same = Object.is) {
  let now = first;
  /** @type {{fields: readonly (keyof T)[] | null, listener: Parameters<Observable<T>["subscribe"]>[1]}[]} */
  const subscribers = [];

  /** @param {T} next @param {How | "back"} how */
  function change(next, how) {
    const fields = /** @type {(keyof T)[]} */ (Object.keys(next));
    const changed = new Set(fields.filter((field) => !same(now[field], next[field])));
    if (!changed.size) return;
    now = next;
    // A subscriber may set another field meanwhile: whoever comes after it is told the newest state.
    for (const { fields, listener } of [...subscribers]) {
      if (!fields || fields.some((field) => changed.has(field))) listener(now, changed, how);
    }
  }

  return {
    get: () => now,
    set: (patch, how = "replace") => change({ ...now, ...patch }, how),
    back: (whole) => change(whole, "back"),
    subscribe: (fields, listener) => {
      subscribers.push({ fields, listener });
    },
  };
}

/** The view, whose values are compared by what is in them: the address makes them anew. @param {View} first */
export const createView = (first) => createStore(first, (a, b) => a === b || JSON.stringify(a) === JSON.stringify(b));

/** The scene with nothing in it. @param {Scene["greeting"]} greeting @returns {Observable<Scene>} */
export const createScene = (greeting) =>
  createStore(
    /** @type {Scene} */ ({
      greeting,
      answer: { title: null, make: () => [] },
      tried: null,
      pin: null,
      laid: null,
      places: null,
      trial: null,
      change: null,
      marked: null,
      tide: null,
      news: null,
      moorings: 0,
      report: 0,
      pieces: 0,
      info: 0,
      person: 0,
    }),
  );
