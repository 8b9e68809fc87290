import assert from "node:assert/strict"
import test from "node:test"

import "./bare-names.js"

const { letterOf } = await import("../../static/js/page-keys.js")

const press = (more) => ({ altKey: true, shiftKey: false, ctrlKey: false, metaKey: false, code: "KeyN", ...more })

test("Alt with a letter is that letter, whatever the layout writes", () => {
  assert.equal(letterOf(press({})), "n")
})

test("other keys are no letter of the page", () => {
  assert.equal(letterOf(press({ altKey: false })), "")
  assert.equal(letterOf(press({ shiftKey: true })), "")
  assert.equal(letterOf(press({ ctrlKey: true })), "")
  assert.equal(letterOf(press({ code: "Enter" })), "")
})
