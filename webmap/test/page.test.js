import test from "node:test";
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";

const root = new URL("..", import.meta.url);
const html = readFileSync(new URL("index.html", root), "utf8");

/** The folders from the ground up: each may import from itself and from those before it. */
const FOLDERS = ["core", "words", "controls", "map", "sheet", "questions", "people", "page"];
/** What index.html runs, and what is fetched once the map can be used. */
const ENTRIES = ["page/prefetch.js", "page/main.js"];
const PARTS = "page/parts.js";
const LATER = "core/later.js";

const modules = FOLDERS.flatMap((folder) =>
  readdirSync(new URL("js/" + folder, root))
    .filter((name) => name.endsWith(".js"))
    .map((name) => folder + "/" + name),
);
/** Of a module without its comments, in which types are imported. @param {string} name */
const source = (name) => readFileSync(new URL("js/" + name, root), "utf8").replaceAll(/\/\*[^]*?\*\/|^\s*\/\/.*$/gm, "");
/** @param {string} from @param {string} path */
const resolved = (from, path) => new URL(path, "file:///" + from).pathname.slice(1);
/** @param {string} name @param {RegExp} pattern @returns {string[]} */
const named = (name, pattern) => [...source(name).matchAll(pattern)].map((each) => resolved(name, each[1]));
const atOnce = (/** @type {string} */ name) => named(name, /^(?:import|export)\s[^;]*?["'](\.[^"']+)["'];/gm);
const later = (/** @type {string} */ name) => named(name, /\bimport\(\s*["'](\.[^"']+)["']\s*\)/g);
const folderOf = (/** @type {string} */ name) => name.split("/")[0];

/** @param {string[]} from @returns {Set<string>} what has to be there before they run */
function reached(from) {
  const all = new Set(from);
  // A set that grows while it is walked is walked to its end.
  for (const name of all) for (const next of atOnce(name)) all.add(next);
  return all;
}

test("every module lies in a folder that is named here", () => {
  assert.deepEqual(readdirSync(new URL("js", root)).sort(), [...FOLDERS].sort());
});

test("a folder imports only from itself and from those before it", () => {
  let across = 0;
  for (const name of modules)
    for (const next of atOnce(name)) {
      assert.ok(modules.includes(next), `${name} imports ${next}, which is no file`);
      across += Number(folderOf(name) !== folderOf(next));
      assert.ok(FOLDERS.indexOf(folderOf(next)) <= FOLDERS.indexOf(folderOf(name)), `${name} imports ${next}`);
    }
  assert.ok(across > 0);
});

test("what is fetched later is named in one place, is not fetched at once as well, and makes up the rest", () => {
  const begun = reached(ENTRIES);
  for (const name of modules) {
    assert.equal(
      (source(name).match(/\bimport\(/g) ?? []).length,
      later(name).length,
      `${name} imports something that is not named in place`,
    );
    assert.deepEqual(later(name), name === LATER ? [PARTS] : [], name);
  }
  for (const name of [PARTS, ...atOnce(PARTS)]) assert.ok(!begun.has(name), `${name} is imported at once as well`);
  assert.deepEqual([...reached([...ENTRIES, PARTS])].sort(), [...modules].sort());
});

test("the page keeps a strict content security policy: no script or style within it, nothing from elsewhere", () => {
  assert.doesNotMatch(html, /<script(?![^>]*\bsrc=)[^>]*>/);
  assert.doesNotMatch(html, /<style|\sstyle=|\son[a-z]+=/);
  assert.doesNotMatch(html, /(?:src|href)="(?:https?:)?\/\//);
});

test("data never becomes markup", () => {
  for (const name of modules) assert.doesNotMatch(source(name), /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(/, name);
});

test("every style sheet is part of the one that is served", () => {
  const page = readFileSync(new URL("css/page.css", root), "utf8");
  const imported = [...page.matchAll(/@import "\.\/([^"]+)"/g)].map((each) => each[1]);
  assert.deepEqual([...imported, "page.css"].sort(), readdirSync(new URL("css", root)).sort());
});
