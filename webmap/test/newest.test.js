import test from "node:test";
import assert from "node:assert/strict";
import { latest } from "../js/core/latest.js";

const after = (ms) =>
  new Promise((done) => {
    setTimeout(done, ms);
  });

/** A service whose answers take as long as they are told to. @param {number[]} delays @param {boolean} [fails] the first one */
function slow(delays, fails = false) {
  const came = [];
  const failed = [];
  let n = 0;
  const asking = latest(
    async () => {
      const mine = n++;
      await after(delays[mine]);
      if (fails && mine === 0) throw new Error("no");
      return mine;
    },
    (answer) => came.push(answer),
    (fault) => failed.push(fault),
  );
  return { asking, came, failed, asked: () => n };
}

test("an answer that comes late never takes the place of a newer one", async () => {
  const { asking, came, asked } = slow([500, 20]);
  asking.soon();
  await after(120);
  asking.soon();
  await after(600);
  assert.equal(asked(), 2);
  assert.deepEqual(came, [1]);
});

test("one that is in time shows the way until the newer one has come", async () => {
  const { asking, came } = slow([150, 200]);
  asking.soon();
  await after(120);
  asking.soon();
  await after(500);
  assert.deepEqual(came, [0, 1]);
});

test("many changes at once are asked once or twice, the last one surely", async () => {
  const { asking, asked } = slow(Array(20).fill(1));
  for (let i = 0; i < 20; i++) {
    asking.soon();
    await after(2);
  }
  await after(300);
  assert.ok(asked() >= 1 && asked() <= 3, `asked ${asked()} times`);
});

test("nothing comes after nobody wants it, and a failure of an older question is none", async () => {
  const { asking, came } = slow([100]);
  asking.soon();
  await after(40);
  asking.drop();
  await after(200);
  assert.deepEqual(came, []);
  const two = slow([300, 20], true);
  two.asking.soon();
  await after(120);
  two.asking.soon();
  await after(400);
  assert.deepEqual(two.failed, []);
  assert.deepEqual(two.came, [1]);
});
