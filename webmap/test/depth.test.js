import test from "node:test";
import assert from "node:assert/strict";
import { levelMetres, soundingText } from "../js/map/depth.js";
import { depthTint, themeOf } from "../js/map/theme.js";

test("a sounding is never written deeper than it is", () => {
  for (const [depth_m, units, whole, tenth] of [
    [4.29, "metres", "4", "2"],
    [4, "metres", "4", ""],
    [0.3, "metres", "0", "3"],
    [23.9, "metres", "23", ""],
    [-0.41, "metres", "0", "5"],
    [3.04, "feet", "9", ""],
    [3.048, "feet", "10", ""],
    [-0.31, "feet", "2", ""],
  ])
    assert.deepEqual(soundingText(depth_m, units), { whole, tenth }, `${depth_m} in ${units}`);
});

test("a band's tint goes by its shallow end", () => {
  const theme = themeOf(false);
  assert.equal(depthTint(theme, null), theme.drying);
  assert.equal(depthTint(theme, -0.1), theme.drying);
  assert.equal(depthTint(theme, 0), theme.depths[0][1]);
  assert.equal(depthTint(theme, 4.99), theme.depths[1][1]);
  assert.equal(depthTint(theme, 10), theme.deep);
});

test("the level drawn is low, high or typed; without levels on record it is chart datum", () => {
  const levels = { datum: "mean lower low water", low_m: -0.2, high_m: 3.1 };
  assert.equal(levelMetres("low", levels), -0.2);
  assert.equal(levelMetres("high", levels), 3.1);
  assert.equal(levelMetres(1.4, null), 1.4);
  assert.equal(levelMetres("high", null), 0);
});
