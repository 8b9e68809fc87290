// What an upload shows of itself: name, size, progress, one sentence, and one or two buttons.
import { make, makeButton } from "elements"
import { text } from "texts"

export class UploadPanel {
  constructor({ send, pause, resume }) {
    this.name = make("span", { class: "upload__name" })
    this.figures = make("span", { class: "upload__figures" })
    this.bar = make("progress", { class: "progress progress--large", max: 1, value: 0, "aria-label": text("upload-progress") })
    this.words = make("p", { role: "status" })
    this.error = make("p", { class: "field__error", role: "alert", hidden: true })
    this.sendButton = makeButton(text("upload-send"), send, { class: "button" })
    this.pauseButton = makeButton(text("upload-pause"), pause)
    this.resumeButton = makeButton(text("upload-resume"), resume, { class: "button" })
    this.box = make("div", { class: "upload", hidden: true },
      make("p", { class: "upload__line" }, this.name, this.figures), this.bar, this.words, this.error,
      make("div", { class: "cluster" }, this.sendButton, this.pauseButton, this.resumeButton))
  }

  offer(name, size, note) {
    this.name.textContent = name
    this.figures.textContent = size
    this.bar.value = 0
    this.#show({ words: note, buttons: [this.sendButton] })
  }

  refuse(name, reason) {
    this.name.textContent = name
    this.figures.textContent = ""
    this.#show({ error: reason, buttons: [] })
  }

  running(words) { this.#show({ words, buttons: [this.pauseButton] }) }

  paused(words) { this.#show({ words, buttons: [this.resumeButton] }) }

  failed(reason) { this.#show({ error: reason, buttons: [this.resumeButton] }) }

  done(words) {
    this.bar.value = 1
    this.#show({ words, buttons: [] })
  }

  progress(sent, total, figures) {
    this.bar.value = total > 0 ? sent / total : 0
    this.figures.textContent = figures
  }

  #show({ words = "", error = "", buttons }) {
    this.box.hidden = false
    this.bar.hidden = buttons.includes(this.sendButton) || this.figures.textContent === ""
    this.words.textContent = words
    this.error.textContent = error
    this.error.hidden = error === ""
    for (const button of [this.sendButton, this.pauseButton, this.resumeButton]) button.hidden = !buttons.includes(button)
  }
}
