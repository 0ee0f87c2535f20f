// Merge: two have changed the same record since it was read. What only one of them changed holds; what both changed differently has to be
// chosen.
/** @import { Merge, Value } from "./recordtypes" */

/** @param {unknown} a @param {unknown} b */
export const sameValue = (a, b) => a === b || JSON.stringify(settled(a)) === JSON.stringify(settled(b));

/** What is not there, null and an empty text are one: nothing is on record. @param {unknown} value */
const settled = (value) => (value === undefined || value === "" ? null : value);

/**
 * What stands at a path: "boat.loa_m", "tackle[2].inspected".
 * @param {Record<string, Value>} record @param {string} path @returns {Value | undefined}
 */
export function valueAt(record, path) {
  /** @type {any} */
  let at = record;
  for (const [, name, index] of path.matchAll(/([^.[\]]+)|\[(\d+)\]/g)) at = at?.[index ? Number(index) - 1 : name];
  return at;
}

/**
 * Every leaf of a record by its path; a list of plain values is one leaf.
 * @param {Record<string, Value>} record
 * @returns {Map<string, Value>}
 */
export function leavesOf(record) {
  /** @type {Map<string, Value>} */
  const leaves = new Map();
  /** @param {string} path @param {Value} value */
  function walk(path, value) {
    if (Array.isArray(value) && value.some((each) => each !== null && typeof each === "object"))
      value.forEach((each, i) => walk(`${path}[${i + 1}]`, each));
    else if (value !== null && typeof value === "object" && !Array.isArray(value))
      for (const [name, each] of Object.entries(value)) walk(path ? path + "." + name : name, each);
    else leaves.set(path, value);
  }
  walk("", record);
  return leaves;
}

/** The group that a field belongs to: who changes one of its fields has looked at the others. @param {string} path */
export const groupOf = (path) => (path === "boat.owner" ? "boat" : (/^tackle\[\d+\]/.exec(path)?.[0] ?? path.split(".")[0]));

/** @param {Record<string, Value>} record */
const kinds = (record) => JSON.stringify(Array.isArray(record.tackle) ? record.tackle.map((part) => /** @type {any} */ (part)?.kind) : []);

/**
 * @param {Record<string, Value>} base as it was read
 * @param {Map<string, Value>} mine what I set, by path
 * @param {Record<string, Value>} theirs as it is on record now
 * @returns {Merge}
 */
export function merge(base, mine, theirs) {
  const before = leavesOf(base);
  const after = leavesOf(theirs);
  const shifted = kinds(base) !== kinds(theirs);
  /** @type {Merge} */
  const merged = { clashes: [], theirs: [], near: false, shifted };
  for (const [path, value] of mine) {
    const was = valueAt(base, path);
    const now = valueAt(theirs, path);
    // Where the parts have moved, the second is no longer the part that was meant.
    const moved = shifted && path.startsWith("tackle[");
    if ((moved || !sameValue(was, now)) && !sameValue(value, now)) merged.clashes.push({ path, mine: value, theirs: now });
  }
  for (const path of new Set([...before.keys(), ...after.keys()])) {
    // Where I set the whole tackle, what they did to a part of it is in the choice between the two.
    if (!sameValue(before.get(path), after.get(path)) && !mine.has(path) && !(mine.has("tackle") && path.startsWith("tackle[")))
      merged.theirs.push({ path, before: before.get(path), after: after.get(path) });
  }
  const touched = new Set([...mine.keys()].map(groupOf));
  merged.near = merged.theirs.some(({ path }) => touched.has(groupOf(path)));
  return merged;
}
