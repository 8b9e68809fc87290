import assert from "node:assert/strict"
import test from "node:test"

import { typesItself } from "../../static/js/typing-keys.js"

const field = { matches: () => true }
const letter = { altKey: true, code: "KeyC" }

test("on Apple's keyboards Alt with a letter types in a field", () => {
  assert.equal(typesItself(letter, field, "MacIntel"), true)
  assert.equal(typesItself(letter, { matches: () => false }, "MacIntel"), false)
  assert.equal(typesItself({ altKey: true, code: "Enter" }, field, "MacIntel"), false)
})

test("elsewhere it is a key of the page", () => {
  assert.equal(typesItself(letter, field, "Linux x86_64"), false)
  assert.equal(typesItself(letter, field, "Win32"), false)
})
