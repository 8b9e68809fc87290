import assert from "node:assert/strict"
import test from "node:test"

import { addNote, changeNote, noteAtFrame, parseNotes, removeNote } from "../../static/js/note-list.js"

const early = { frame: 10, at_s: "0.333", text: "Ribs down" }
const late = { frame: 90, at_s: "3.000", text: "Elbow drifts", drawing: [[1, 2]] }

test("notes stand in the order of their frames", () => {
  assert.deepEqual(addNote([late], { frame: 10, seconds: 0.3333, text: " Ribs down " }), [early, late])
})

test("a note without words is not added", () => {
  assert.deepEqual(addNote([late], { frame: 10, seconds: 0, text: "  " }), [late])
})

test("changing words keeps the drawing", () => {
  assert.deepEqual(changeNote([early, late], late, "Elbow in")[1], { ...late, text: "Elbow in" })
})

test("taking all words away removes the note", () => {
  assert.deepEqual(changeNote([early, late], late, ""), [early])
})

test("only the note itself is removed", () => {
  assert.deepEqual(removeNote([early, { ...early }], early).length, 1)
})

test("nothing written is no notes", () => {
  assert.deepEqual([parseNotes(null), parseNotes("")], [[], []])
})

test("what is not a list is refused", () => {
  assert.throws(() => parseNotes('{"frame": 1}'), TypeError)
})

test("the note at a frame is the last one begun", () => {
  assert.deepEqual([5, 10, 50, 90].map((frame) => noteAtFrame([early, late], frame)), [null, early, early, late])
})
