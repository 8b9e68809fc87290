import assert from "node:assert/strict"
import test from "node:test"

import { stepped } from "../../static/js/stepping.js"

for (const [value, step, limits, expected] of [
  ["10", 2.5, {}, "12.5"],
  ["12.5", 2.5, {}, "15"],
  ["0.1", 0.2, {}, "0.3"],
  ["", 1, {}, "1"],
  ["words", 1, {}, "1"],
  ["0", -1, { min: 0 }, "0"],
  ["9", 5, { max: 10 }, "10"],
  ["100", 10, {}, "110"],
]) {
  test(`"${value}" stepped by ${step} within ${JSON.stringify(limits)} is "${expected}"`, () => {
    assert.equal(stepped(value, step, limits), expected)
  })
}
