import assert from "node:assert/strict"
import test from "node:test"

import { RowHistory } from "../../static/js/row-history.js"

test("steps are gone back and forth", () => {
  const history = new RowHistory(["a"])
  history.note(["a", "b"])
  assert.deepEqual(history.undo(), ["a"])
  assert.deepEqual(history.redo(), ["a", "b"])
})

test("there is nothing before the first and after the last", () => {
  const history = new RowHistory(["a"])
  assert.equal(history.undo(), null)
  assert.equal(history.redo(), null)
})

test("a new step ends what was undone", () => {
  const history = new RowHistory([1])
  history.note([2])
  history.undo()
  history.note([3])
  assert.equal(history.redo(), null)
  assert.deepEqual(history.undo(), [1])
})

test("the same again is no step", () => {
  const history = new RowHistory([1])
  assert.equal(history.note([1]), false)
  assert.equal(history.undo(), null)
})

test("lineages join the step that stands", () => {
  const history = new RowHistory([{ lineage: "" }])
  history.note([{ lineage: "", sets: 4 }])
  history.replace([{ lineage: "x", sets: 4 }])
  history.undo()
  assert.deepEqual(history.redo(), [{ lineage: "x", sets: 4 }])
})
