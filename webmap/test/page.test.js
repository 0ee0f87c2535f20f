import test from "node:test";
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";

const root = new URL("..", import.meta.url);
const html = readFileSync(new URL("index.html", root), "utf8");

test("every module is asked for at once, and no other", () => {
  const modules = readdirSync(new URL("js", root)).filter((name) => name.endsWith(".js") && !["main.js", "early.js"].includes(name)).sort();
  const asked = [...html.matchAll(/rel="modulepreload" href="js\/([^"]+)"/g)].map((each) => each[1]).sort();
  assert.deepEqual(asked, modules);
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
