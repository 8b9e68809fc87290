// The list of notes at moments of a clip: the spine of the review. Sent as JSON in one hidden field.
import { make, makeButton } from "elements"
import { momentWords } from "frame-times"
import { buildEditor } from "note-editor"
import { addNote, changeNote, noteAtFrame, parseNotes, removeNote } from "note-list"
import { text } from "texts"

const TYPING = "input, textarea, select, [contenteditable]"

class ReviewNotes extends HTMLElement {
  #notes = []
  #editor = null

  connectedCallback() {
    this.#notes = parseNotes(this.getAttribute("value"))
    this.field = make("input", { type: "hidden", name: this.getAttribute("name") ?? "notes" })
    this.list = make("ol", { class: "note-list" })
    this.addButton = makeButton(text("note-add"), this.#startNote, { class: "button" })
    this.replaceChildren(...(this.isReadonly ? [this.list] : [this.addButton, this.list, this.field]))
    document.addEventListener("frame-change", this.#onFrame)
    if (!this.isReadonly) document.addEventListener("keydown", this.#onKey)
    this.#draw()
  }

  disconnectedCallback() {
    document.removeEventListener("frame-change", this.#onFrame)
    document.removeEventListener("keydown", this.#onKey)
  }

  get isReadonly() { return this.hasAttribute("readonly") }

  get player() { return document.getElementById(this.getAttribute("player")) }

  get notes() { return this.#notes }

  #onKey = (event) => {
    const isPlain = event.key === "n" && !event.ctrlKey && !event.metaKey && !event.altKey
    if (!isPlain || event.target.closest?.(TYPING)) return
    event.preventDefault()
    this.#startNote()
  }

  #onFrame = ({ target, detail }) => {
    if (target !== this.player) return
    const current = this.#notes.indexOf(noteAtFrame(this.#notes, detail.frame))
    const rows = this.list.querySelectorAll(".note")
    rows.forEach((row, index) => row.setAttribute("aria-current", String(index === current && this.#notes[index].frame === detail.frame)))
  }

  #startNote = () => {
    this.player.pause()
    const { frame, seconds } = this.player
    this.#edit({ frame, at_s: seconds.toFixed(3), text: "" }, (words) => addNote(this.#notes, { frame, seconds, text: words }))
  }

  #edit(note, save) {
    this.#editor?.remove()
    const maxLength = this.getAttribute("max-length") ?? 1000
    const done = (words) => { this.#close(); if (words !== null) this.#replace(save(words)) }
    this.#editor = buildEditor({ note, maxLength, frameWords: this.#frameWords(note), done })
    this.list.before(this.#editor)
    this.#editor.querySelector("textarea").focus()
  }

  #close() {
    this.#editor.remove()
    this.#editor = null
    this.addButton.focus()
  }

  #replace(notes) {
    this.#notes = notes
    this.#draw()
    this.dispatchEvent(new CustomEvent("notes-change", { bubbles: true, detail: { notes } }))
  }

  #draw() {
    this.field.value = JSON.stringify(this.#notes)
    const empty = make("li", { class: "note-list__empty" }, text(this.isReadonly ? "note-none" : "note-none-yet"))
    this.list.replaceChildren(...(this.#notes.length > 0 ? this.#notes.map((note) => this.#row(note)) : [empty]))
  }

  #row(note) {
    const moment = makeButton(momentWords(Number(note.at_s)), () => this.#goTo(note), {
      class: "button button--plain note__moment",
      "aria-label": text("note-go", { moment: this.#frameWords(note) }),
    })
    const row = make("li", { class: "note" }, moment, make("p", { class: "note__text" }, note.text))
    if (!this.isReadonly) row.append(this.#actions(note))
    row.querySelector(".note__text").addEventListener("click", () => this.#goTo(note))
    return row
  }

  #actions(note) {
    const quiet = { class: "button button--plain button--small" }
    return make("div", { class: "note__actions" },
      makeButton(text("note-edit"), () => this.#edit(note, (words) => changeNote(this.#notes, note, words)), quiet),
      makeButton(text("note-delete"), () => this.#replace(removeNote(this.#notes, note)), quiet))
  }

  #goTo(note) {
    this.player.pause()
    this.player.seekFrame(note.frame)
  }

  #frameWords(note) {
    return text("note-moment", { moment: momentWords(Number(note.at_s)), n: note.frame + 1 })
  }
}

customElements.define("review-notes", ReviewNotes)
