import assert from "node:assert/strict"
import { test } from "node:test"
import { chosenAfter, isChosen, nearest } from "../../static/js/body-chart.js"

const knee = (side) => ({ area: "knee", side, paired: true, thirds: false })
const chest = (side) => ({ area: "chest", side, paired: false, thirds: true })
const head = { area: "head", side: "middle", paired: false, thirds: false }

test("the second of two sides means both, and one of both means only that one", () => {
  const left = chosenAfter(knee("left"), { area: "", side: "" })
  const both = chosenAfter(knee("right"), left)
  assert.deepEqual([left.side, both.side, chosenAfter(knee("right"), both).side], ["left", "both", "right"])
})

test("another area, or another third of the trunk, replaces what was chosen", () => {
  assert.deepEqual(chosenAfter(chest("left"), { area: "chest", side: "right" }), { area: "chest", side: "left" })
  assert.deepEqual(chosenAfter(knee("right"), { area: "ankle", side: "left" }), { area: "knee", side: "right" })
})

test("the chart shows what the list says, on every picture", () => {
  assert.equal(isChosen(knee("left"), { area: "knee", side: "both" }), true)
  assert.equal(isChosen(knee("left"), { area: "knee", side: "right" }), false)
  assert.equal(isChosen(head, { area: "head", side: "left" }), true)
  assert.equal(isChosen(chest("middle"), { area: "chest", side: "" }), false)
})

test("an arrow goes to what lies nearest that way, or nowhere", () => {
  const at = (name, x, y) => ({ name, x, y })
  const others = [at("knee", 20, 258), at("other knee", -20, 258), at("hip", 20, 175)]
  assert.equal(nearest(at("thigh", 20, 218), others, [0, 1]).name, "knee")
  assert.equal(nearest(at("thigh", 20, 218), others, [0, -1]).name, "hip")
  assert.equal(nearest(at("knee", 20, 258), others, [-1, 0]).name, "other knee")
  assert.equal(nearest(at("hand", 55, 180), others, [1, 0]), null)
})

test("the head has a side only when the client says so, and keeps it", () => {
  assert.deepEqual(chosenAfter(head, { area: "knee", side: "left" }), { area: "head", side: "" })
  assert.deepEqual(chosenAfter(head, { area: "head", side: "right" }), { area: "head", side: "right" })
})
