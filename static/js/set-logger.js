// Turns every form[data-entry] inside into a queued log entry that survives bad connections and reloads.
import { make, makeButton } from "elements"
import { buildEntry, deviceTime, fieldValues, makeUuid } from "log-entry"
import { addEntry, applyAnswers, lastOfRow, nextBatch, secondsBeforeRetry } from "log-queue"
import { paintRow, refillRow } from "log-row"
import { sendBatch } from "log-sender"
import { LogStore } from "log-store"
import { text } from "texts"

const STORED = new Set(["stored", "already_stored", "conflict"])

class SetLogger extends HTMLElement {
  #store = null
  #isSending = false
  #attempt = 0
  #retry = null
  #trouble = null
  #hasSent = false

  connectedCallback() {
    this.#store = new LogStore(this.getAttribute("queue"), window.localStorage)
    this.addEventListener("submit", this.#onSubmit)
    this.addEventListener("input", this.#onInput)
    window.addEventListener("online", this.#flushNow)
    document.addEventListener("visibilitychange", this.#onVisible)
    this.#paintAll()
    this.#flushNow()
  }

  disconnectedCallback() {
    clearTimeout(this.#retry)
    window.removeEventListener("online", this.#flushNow)
    document.removeEventListener("visibilitychange", this.#onVisible)
  }

  get #forms() {
    return [...this.querySelectorAll("form[data-entry]")]
  }

  #onSubmit = (event) => {
    const form = event.target.closest("form[data-entry]")
    if (!form) return
    event.preventDefault()
    const isSettled = form.dataset.state === "waiting" || form.dataset.state === "stored"
    if (!isSettled) this.#enqueue(form)
    this.#flushNow()
  }

  #onInput = (event) => {
    const form = event.target.closest("form[data-entry]")
    if (form && ["stored", "waiting"].includes(form.dataset.state)) paintRow(form, "edited")
  }

  #onVisible = () => { if (!document.hidden) this.#flushNow() }

  #flushNow = () => {
    clearTimeout(this.#retry)
    this.#attempt = 0
    this.#flush()
  }

  #enqueue(form) {
    const row = rowOf(form)
    const entry = entryOf(form, lastOfRow(this.#store.read(), row)?.uuid ?? form.dataset.storedUuid)
    this.#store.change((queue) => addEntry(queue, row, entry))
    paintRow(form, "waiting")
    this.#say()
    const detail = { row, entry, rest: entry.replaces ? null : Number(form.dataset.rest) || null }
    form.dispatchEvent(new CustomEvent("set-done", { bubbles: true, detail }))
  }

  async #flush() {
    const batch = nextBatch(this.#store.read())
    if (this.#isSending || batch.length === 0) return
    this.#isSending = true
    const { outcome, status, answers } = await sendBatch(this.getAttribute("url"), batch)
    this.#isSending = false
    const settled = this.#take(answers)
    this.#trouble = outcome === "answered" ? null : { outcome, status }
    this.#say()
    this.#goOn(outcome, settled > 0)
  }

  #goOn(outcome, gotFurther) {
    if (outcome === "answered" && gotFurther) return this.#flushNow()
    if (outcome !== "again" && outcome !== "answered") return undefined
    if (!this.isConnected) return undefined
    this.#retry = setTimeout(() => this.#flush(), secondsBeforeRetry(this.#attempt) * 1000)
    this.#attempt += 1
    return undefined
  }

  #take(answers) {
    const rows = new Map(this.#store.read().waiting.map(({ row, entry }) => [entry.uuid, row]))
    const { waiting } = this.#store.change((queue) => applyAnswers(queue, answers))
    for (const answer of answers) this.#takeOne(answer, rows.get(answer.uuid))
    const settled = rows.size - waiting.length
    this.#hasSent ||= settled > 0
    return settled
  }

  #takeOne({ uuid, status, errors = {}, current }, row) {
    const form = this.#forms.find((candidate) => rowOf(candidate) === row)
    // After a conflict something else stands there: the next edit replaces that.
    if (form && STORED.has(status)) form.dataset.storedUuid = current ?? uuid
    const isNewest = !lastOfRow(this.#store.read(), row)
    if (form && isNewest && form.dataset.state === "waiting") paintRow(form, status === "already_stored" ? "stored" : status, errors)
    const target = form ?? this
    target.dispatchEvent(new CustomEvent("entry-answered", { bubbles: true, detail: { uuid, status, errors, row } }))
  }

  #paintAll() {
    const { waiting, refused } = this.#store.read()
    for (const form of this.#forms) paintRow(form, form.dataset.storedUuid ? "stored" : "open")
    for (const { row, entry } of waiting) this.#restore(row, entry, "waiting")
    for (const { row, entry, errors } of refused) this.#restore(row, entry, "refused", errors)
    this.#say()
  }

  #restore(row, entry, state, errors) {
    const form = this.#forms.find((candidate) => rowOf(candidate) === row)
    if (!form) return
    refillRow(form, entry)
    paintRow(form, state, errors)
  }

  #say() {
    const { waiting, refused } = this.#store.read()
    const parts = [
      waiting.length > 0 && text(this.#store.isKept ? "log-count-waiting" : "log-count-not-kept", { n: waiting.length }),
      waiting.length > 0 && this.#troubleWords(),
      refused.length > 0 && text("log-count-refused", { n: refused.length }),
      this.#store.hadUnreadable && text("log-unreadable"),
      waiting.length + refused.length === 0 && this.#hasSent && text("log-all-saved"),
    ].filter(Boolean)
    this.#stateLine().replaceChildren(parts.join(" "), ...(this.#trouble && waiting.length > 0 ? [this.#remedy()] : []))
  }

  #troubleWords() {
    if (!this.#trouble) return ""
    return text(`log-trouble-${this.#trouble.outcome}`, { status: this.#trouble.status })
  }

  #remedy() {
    const signIn = this.getAttribute("sign-in")
    if (this.#trouble.outcome === "sign-in" && signIn) return make("a", { href: signIn }, text("log-sign-in"))
    return makeButton(text("log-try-now"), this.#flushNow, { class: "button button--plain" })
  }

  #stateLine() {
    const line = this.querySelector("[data-log-state]") ?? make("p", { class: "log-state", "data-log-state": true })
    line.setAttribute("role", "status")
    if (!line.isConnected) this.append(line)
    return line
  }
}

function rowOf(form) {
  return form.dataset.row ?? JSON.parse(form.dataset.entry).kind
}

function entryOf(form, replaces) {
  return buildEntry(JSON.parse(form.dataset.entry), fieldValues(new FormData(form), listNames(form)), {
    uuid: makeUuid(),
    deviceAt: deviceTime(new Date()),
    timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
    replaces,
  })
}

// A name shared by several checkboxes is a list, however many are ticked.
function listNames(form) {
  const names = [...form.querySelectorAll("input[type=checkbox]")].map((input) => input.name)
  return new Set(names.filter((name, index) => names.indexOf(name) !== index))
}

customElements.define("set-logger", SetLogger)
