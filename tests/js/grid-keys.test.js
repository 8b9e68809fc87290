import assert from "node:assert/strict"
import test from "node:test"

import { cellBelow } from "../../static/js/grid-keys.js"

const rows = [["a1", "a2", "a3"], ["b1", "b2"], ["c1", "c2", "c3"]]

for (const [row, column, by, cell] of [[0, 1, 1, "b2"], [0, 2, 1, "b2"], [2, 0, -1, "b1"], [0, 0, -1, null], [2, 0, 1, null]]) {
  test(`from row ${row}, column ${column}, by ${by} the next cell is ${cell}`, () => {
    assert.equal(cellBelow(rows, row, column, by), cell)
  })
}
