// The session editor: add, copy, move, remove, bracket, undo, by key and by button. The form works without.
import { actionOf } from "builder-keys"
import { BuilderRows } from "builder-rows"
import { copied, keepCopy } from "row-clipboard"
import { RowHistory } from "row-history"
import { asCopy, asNext, fillRow, valuesOf } from "row-values"
import { typesItself } from "typing-keys"

const PAUSE_MS = 400

class BlockBuilder extends HTMLElement {
  #rows = null
  #history = null
  #pause = null

  connectedCallback() {
    this.#rows = new BuilderRows(this)
    this.addEventListener("click", this.#press)
    document.addEventListener("keydown", this.#key)
    this.addEventListener("input", this.#noteSoon)
    this.addEventListener("change", this.#draw)
    this.addEventListener("row-dragged", this.#settle)
    this.addEventListener("rows-saved", this.#saved)
    this.addEventListener("htmx:afterSwap", this.#showBeside)
    this.#show()
    this.#history = new RowHistory(this.#rows.state)
    // An empty session is opened to be written.
    if (!this.#rows.state.some(({ movement }) => movement)) this.#rows.all[0]?.querySelector("input[list]").focus()
  }

  disconnectedCallback() {
    clearTimeout(this.#pause)
    document.removeEventListener("keydown", this.#key)
  }

  // Buttons that only a script can serve appear, and what stands in for them goes.
  #reveal = () => {
    for (const hidden of this.querySelectorAll("[data-do], [data-movement], [data-keys], [data-drag]")) hidden.hidden = false
    for (const plain of this.querySelectorAll("[data-plain]")) plain.hidden = true
  }

  // What stands beside is told in a sentence, and only when that is another one.
  #showBeside = () => {
    this.#reveal()
    const told = this.querySelector("[data-beside-told]")
    const summary = this.querySelector("#beside [data-summary]")?.dataset.summary ?? ""
    if (told.textContent !== summary) told.textContent = summary
  }

  #draw = () => this.#rows.draw()

  #press = (event) => {
    const target = event.target.closest("[data-do], [data-movement]")
    if (!target) return
    event.preventDefault()
    if (target.dataset.movement) this.#addFound(target.dataset.movement)
    else this.#do(target.dataset.do, target.closest("[data-row]"), target)
  }

  #key = (event) => {
    if (typesItself(event, event.target)) return
    const row = this.contains(event.target) ? event.target.closest("[data-row]") : null
    const action = actionOf(event, { inRow: Boolean(row) })
    if (!action) return
    event.preventDefault()
    event.stopPropagation()
    this.#do(action, row, event.target)
  }

  #do(action, row, focus) {
    const actions = {
      add: () => this.#add(asNext(row ? valuesOf(row) : this.#rows.state.at(-1) ?? {}), row),
      duplicate: () => this.#add(asCopy(valuesOf(row)), row),
      copy: () => keepCopy(asCopy(valuesOf(row))),
      cut: () => { keepCopy(asCopy(valuesOf(row))); this.#remove(row) },
      paste: () => copied() && this.#add(copied(), row),
      up: () => this.#move(row, -1, focus),
      down: () => this.#move(row, 1, focus),
      remove: () => this.#remove(row),
      join: () => this.#join(row),
      more: () => openMore(row),
      undo: () => this.#restore(this.#history.undo()),
      redo: () => this.#restore(this.#history.redo()),
      save: () => this.#rows.form.requestSubmit(),
      first: () => this.#rows.all[0]?.querySelector("input[list]").select(),
      find: () => this.querySelector("[type=search]")?.focus(),
    }
    actions[action]()
  }

  #add(values, after = null) {
    const row = this.#rows.insert(values, after)
    this.#settle()
    row.querySelector(values.movement ? "input[name$=-sets]" : "input[list]").focus()
  }

  // A found movement goes into the last row when that is still empty.
  #addFound(movement) {
    const last = this.#rows.all.at(-1)
    if (!last || valuesOf(last).movement) return this.#add({ ...asNext(last ? valuesOf(last) : {}), movement })
    fillRow(last, { movement })
    this.#settle()
    return last.querySelector("input[name$=-sets]").focus()
  }

  #move(row, by, focus) {
    this.#rows.move(row, by)
    this.#settle()
    focus.focus()
  }

  #remove(row) {
    const next = this.#rows.remove(row)
    this.#settle()
    next.querySelector("input[list]").focus()
  }

  #join(row) {
    fillRow(row, { joined: !valuesOf(row).joined })
    this.#settle()
  }

  #restore(state) {
    if (!state) return
    this.#rows.refill(state)
    this.#show()
    this.querySelector("[data-rows] input[list]")?.focus()
  }

  #saved = (event) => {
    this.#rows.take(event.detail)
    this.#history.replace(this.#rows.state)
  }

  #noteSoon = () => {
    clearTimeout(this.#pause)
    this.#pause = setTimeout(() => this.#history.note(this.#rows.state), PAUSE_MS)
  }

  #settle = () => {
    clearTimeout(this.#pause)
    this.#show()
    this.#history.note(this.#rows.state)
  }

  #show() {
    this.#rows.number()
    this.#reveal()
    this.#rows.form.dispatchEvent(new CustomEvent("rows-changed", { bubbles: true }))
  }
}

function openMore(row) {
  const more = row.querySelector("details")
  more.open = !more.open
  more.querySelector(more.open ? "input, select" : "summary").focus()
}

customElements.define("block-builder", BlockBuilder)
