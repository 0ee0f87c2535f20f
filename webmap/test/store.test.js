import test from "node:test";
import assert from "node:assert/strict";
import { FIRST } from "../js/core/address.js";
import { createScene, createStore, createView } from "../js/core/store.js";

test("a subscriber hears of its own fields only, and how they were changed", () => {
  const store = createStore({ a: 1, b: 1 });
  /** @type {unknown[]} */
  const heard = [];
  store.subscribe(["a"], ({ a }, changed, how) => heard.push(["a", a, [...changed], how]));
  store.subscribe(null, ({ b }) => heard.push(["any", b]));
  store.set({ b: 2 });
  store.set({ a: 2 }, "push");
  store.set({ a: 2 });
  store.back({ a: 3, b: 2 });
  assert.deepEqual(heard, [
    ["any", 2],
    ["a", 2, ["a"], "push"],
    ["any", 2],
    ["a", 3, ["a"], "back"],
    ["any", 2],
  ]);
});

test("who comes after one that sets another field is told the newest state", () => {
  const store = createStore({ a: 0, b: 0 });
  /** @type {number[]} */
  const heard = [];
  store.subscribe(["a"], () => store.set({ b: 7 }));
  store.subscribe(["a"], ({ b }) => heard.push(b));
  store.set({ a: 1 });
  assert.deepEqual(heard, [7]);
});

test("the view compares what is in a value, the scene the value itself", () => {
  let views = 0;
  let scenes = 0;
  const view = createView(FIRST);
  const scene = createScene(null);
  view.subscribe(["kinds"], () => {
    views++;
  });
  scene.subscribe(["laid"], () => {
    scenes++;
  });
  view.set({ kinds: [...FIRST.kinds] });
  for (let i = 0; i < 2; i++) scene.set({ laid: { fleet: /** @type {any} */ ({}), gaps: [], unlaid: new Set() } });
  assert.deepEqual([views, scenes], [0, 2]);
});
