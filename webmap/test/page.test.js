import test from "node:test";
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";

const root = new URL("..", import.meta.url);
const html = readFileSync(new URL("index.html", root), "utf8");

/** What index.html runs itself: it need not be preloaded. */
const ENTRIES = ["early.js", "main.js"];
const modules = readdirSync(new URL("js", root)).filter((name) => name.endsWith(".js"));
/** @param {string} name @param {RegExp} pattern @returns {string[]} */
const named = (name, pattern) => [...source(name).matchAll(pattern)].map((each) => each[1]);
/** Of a module without its comments, in which types are imported. @param {string} name */
const source = (name) => readFileSync(new URL("js/" + name, root), "utf8").replaceAll(/\/\*[^]*?\*\/|^\s*\/\/.*$/gm, "");
const atOnce = (/** @type {string} */ name) => named(name, /^(?:import|export)\s[^;]*?["']\.\/([^"']+)["'];/gm);
const later = (/** @type {string} */ name) => named(name, /\bimport\(\s*["']\.\/([^"']+)["']\s*\)/g);

/** @param {string[]} from @returns {Set<string>} what has to be there before they run */
function reached(from) {
  const all = new Set(from);
  // A set that grows while it is walked is walked to its end.
  for (const name of all) for (const next of atOnce(name)) all.add(next);
  return all;
}

test("what the page needs to begin is asked for at once, and nothing else", () => {
  const asked = [...html.matchAll(/rel="modulepreload" href="js\/([^"]+)"/g)].map((each) => each[1]).sort();
  assert.deepEqual(asked, [...reached(ENTRIES)].filter((name) => !ENTRIES.includes(name)).sort());
});

test("what is fetched later is there, is not fetched at once as well, and makes up the rest", () => {
  const names = modules.flatMap(later), begun = reached(ENTRIES);
  assert.ok(names.length > 0);
  for (const name of names) {
    assert.ok(modules.includes(name), `${name} is imported and is no file`);
    assert.ok(!begun.has(name), `${name} is imported at once as well`);
  }
  for (const name of modules) assert.equal((source(name).match(/\bimport\(/g) ?? []).length, later(name).length, `${name} imports something that is not named in place`);
  assert.deepEqual([...reached([...ENTRIES, ...names])].sort(), modules.sort());
});

test("the page keeps a strict content security policy: no script or style within it, nothing from elsewhere", () => {
  assert.doesNotMatch(html, /<script(?![^>]*\bsrc=)[^>]*>/);
  assert.doesNotMatch(html, /<style|\sstyle=|\son[a-z]+=/);
  assert.doesNotMatch(html, /(?:src|href)="(?:https?:)?\/\//);
});

test("data never becomes markup", () => {
  for (const name of readdirSync(new URL("js", root))) {
    assert.doesNotMatch(readFileSync(new URL("js/" + name, root), "utf8"), /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(/, name);
  }
});
