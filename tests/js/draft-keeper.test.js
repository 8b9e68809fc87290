import assert from "node:assert/strict"
import { test } from "node:test"

globalThis.HTMLElement ??= class {}
globalThis.customElements ??= { define() {} }
const { fill } = await import("../../static/js/draft-keeper.js")

const tick = (name, value, checked = false) => ({ name, value, checked, type: "checkbox" })

test("ticks come back as they were, also those taken away", () => {
  const boxes = [tick("symptoms", "chest", true), tick("symptoms", "none")]

  fill(boxes, [["symptoms", "none"]])

  assert.deepEqual(boxes.map((box) => box.checked), [false, true])
})

test("several inputs of one name come back in their order", () => {
  const inputs = [{ name: "cue", value: "", type: "text" }, { name: "cue", value: "", type: "text" }]

  fill(inputs, [["cue", "first"], ["cue", "second"]])

  assert.deepEqual(inputs.map((input) => input.value), ["first", "second"])
})

test("hidden inputs keep what the page says", () => {
  const hidden = { name: "version", value: "3", type: "hidden" }

  fill([hidden], [["version", "1"]])

  assert.equal(hidden.value, "3")
})
