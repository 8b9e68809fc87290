import assert from "node:assert/strict"
import test from "node:test"

import { bracketOf, freeNumber, moved, withIndex } from "../../static/js/row-order.js"

test("a row moves by one place", () => {
  assert.deepEqual(moved(["a", "b", "c"], 0, 1), ["b", "a", "c"])
  assert.deepEqual(moved(["a", "b", "c"], 2, -1), ["a", "c", "b"])
})

test("a row at the edge stays", () => {
  assert.deepEqual(moved(["a", "b"], 0, -1), ["a", "b"])
  assert.deepEqual(moved(["a", "b"], 1, 1), ["a", "b"])
})

test("a new row takes its number everywhere", () => {
  assert.equal(withIndex('id_rows-__prefix__-sets name="rows-__prefix__-sets"', "rows", 4), 'id_rows-4-sets name="rows-4-sets"')
})

test("a bracket runs over all rows that join the next", () => {
  const joined = [true, true, false, false, true, false]
  assert.deepEqual(joined.map((_, index) => bracketOf(joined, index)), ["opens", "within", "closes", "", "opens", "closes"])
})

test("the last row opens no bracket", () => {
  assert.equal(bracketOf([false, true], 1), "")
})

test("a new row takes the lowest number that is free", () => {
  assert.equal(freeNumber(["rows-0-movement", "rows-2-movement"]), 1)
  assert.equal(freeNumber([]), 0)
})
