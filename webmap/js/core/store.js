// Store: the one place where the view is kept; every module hears what changed.
/** @import { View, Store, How } from "./types" */

/** @param {View} first @returns {Store} */
export function createStore(first) {
  let view = first;
  /** @type {Parameters<Store["on"]>[0][]} */
  const hearers = [];

  /** @param {View} next @param {How | "back"} how */
  function change(next, how) {
    const keys = /** @type {(keyof View)[]} */ (Object.keys(next));
    const changed = new Set(keys.filter((key) => !same(view[key], next[key])));
    if (!changed.size) return;
    view = next;
    for (const hear of hearers) hear(view, changed, how);
  }

  return {
    get: () => view,
    set: (patch, how = "replace") => change({ ...view, ...patch }, how),
    back: (whole) => change(whole, "back"),
    on: (hear) => { hearers.push(hear); },
  };
}

/** @param {unknown} a @param {unknown} b */
function same(a, b) {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}
