// The small box in which one note is written. Calls `done(words)`, or `done(null)` when nothing should change.
import { make, makeButton } from "elements"
import { text } from "texts"

export function buildEditor({ note, maxLength, frameWords, done }) {
  const area = make("textarea", { maxlength: maxLength, "aria-label": text("note-text"), rows: 3 })
  area.value = note.text
  const save = () => done(area.value)
  area.addEventListener("keydown", (event) => {
    if (event.key === "Escape") done(null)
    // Enter saves, so that a note costs two keys besides its words; Shift+Enter makes a line.
    if (event.key === "Enter" && !event.shiftKey && !event.isComposing) { event.preventDefault(); save() }
  })
  return make("div", { class: "note-editor", role: "group", "aria-label": frameWords },
    make("p", { class: "note-editor__moment" }, frameWords),
    area,
    make("div", { class: "cluster" },
      makeButton(text("note-save"), save, { class: "button" }),
      makeButton(text("cancel"), () => done(null), { class: "button button--plain" })))
}
