import assert from "node:assert/strict"
import test from "node:test"

import { actionOf } from "../../static/js/builder-keys.js"

const press = (code, more = {}) => ({ code, key: code, altKey: true, shiftKey: false, ctrlKey: false, metaKey: false, ...more })
const inRow = { inRow: true }

test("keys with Alt act on the row", () => {
  assert.equal(actionOf(press("Enter"), inRow), "add")
  assert.equal(actionOf(press("Enter", { shiftKey: true }), inRow), "duplicate")
  assert.equal(actionOf(press("ArrowUp", { shiftKey: true }), inRow), "up")
  assert.equal(actionOf(press("KeyZ"), inRow), "undo")
  assert.equal(actionOf(press("KeyZ", { shiftKey: true }), inRow), "redo")
})

test("the letter that a layout writes with Alt does not matter", () => {
  assert.equal(actionOf(press("KeyC", { key: "\u00e7" }), inRow), "copy")
})

test("what is about a row does nothing outside of one", () => {
  assert.equal(actionOf(press("KeyC"), { inRow: false }), "")
  assert.equal(actionOf(press("KeyV"), { inRow: false }), "paste")
})

test("plain typing and the browser's own keys stay", () => {
  assert.equal(actionOf(press("KeyC", { altKey: false }), inRow), "")
  assert.equal(actionOf(press("KeyC", { ctrlKey: true }), inRow), "")
  assert.equal(actionOf(press("Slash", { key: "/", altKey: false }), { inRow: false }), "")
})

test("Ctrl or Cmd with Enter saves", () => {
  assert.equal(actionOf(press("Enter", { altKey: false, ctrlKey: true }), inRow), "save")
  assert.equal(actionOf(press("Enter", { altKey: false, metaKey: true }), inRow), "save")
})
