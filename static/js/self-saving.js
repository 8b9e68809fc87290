// Saves the form inside while someone works on it, and says so. What the server refuses stays on the page.
import { csrfToken } from "csrf"
import { make } from "elements"
import { text } from "texts"

const PAUSE_MS = 1200
const RETRY_MS = 10_000
// How long a page that is being left waits for its last save.
const LEAVING_MS = 3000

class SelfSaving extends HTMLElement {
  #pause = null
  // What was saved last; empty until the page has drawn itself.
  #sent = ""
  // The save that is under way.
  #saving = null
  #isAgain = false
  // Someone else saved, or the form is being sent: the person decides.
  #isOver = false
  // The button that was pressed while a save was under way: its version comes first.
  #pressed = null

  connectedCallback() {
    // Two people's versions are on the page: saving is a decision of its own.
    this.#isOver = this.hasAttribute("paused")
    // What was typed and refused is not saved yet.
    if (this.hasAttribute("typed")) this.#sent = "typed"
    this.addEventListener("input", this.#soon)
    this.addEventListener("rows-changed", this.#soonUnlessNew)
    this.addEventListener("submit", this.#onSubmit)
    document.addEventListener("click", this.#leave)
    window.addEventListener("pageshow", this.#reloadOld)
    window.addEventListener("pagehide", this.#saveLast)
  }

  disconnectedCallback() {
    clearTimeout(this.#pause)
    document.removeEventListener("click", this.#leave)
    window.removeEventListener("pageshow", this.#reloadOld)
    window.removeEventListener("pagehide", this.#saveLast)
  }

  get form() { return this.querySelector("form") }

  get #line() { return this.querySelector("[data-saving]") }

  // A page from the browser's memory has a version that was saved over since.
  #reloadOld = (event) => { if (event.persisted) location.reload() }

  get #isOpen() { return !this.#isOver && this.#sent !== "" && this.#content() !== this.#sent }

  // Whoever leaves within the pause loses nothing: the request outlives the page.
  #saveLast = () => {
    clearTimeout(this.#pause)
    if (this.#isOpen && !this.#saving) send(this.form, { keepalive: true })
  }

  // The page behind a link shows what was typed just now. What cannot be saved is warned of by the browser.
  #leave = async (event) => {
    const link = event.target.closest("a[href]")
    if (!link || !leavesByItself(event, link) || !this.#isOpen) return
    event.preventDefault()
    await Promise.race([this.#saveNow(), new Promise((resolve) => setTimeout(resolve, LEAVING_MS))])
    location.assign(link.href)
  }

  async #saveNow() {
    clearTimeout(this.#pause)
    await this.#saving
    clearTimeout(this.#pause)
    if (this.#isOpen) await this.#save()
  }

  #onSubmit = (event) => {
    clearTimeout(this.#pause)
    // Who signed in again in another tab has another token.
    this.form.elements.csrfmiddlewaretoken.value = csrfToken()
    if (!this.#saving) { this.#isOver = true; return }
    event.preventDefault()
    this.#pressed = { button: event.submitter }
  }

  #soonUnlessNew = () => {
    // The first drawing of the rows is no change.
    if (this.#sent === "") this.#sent = this.#content()
    else this.#soon()
  }

  #content() {
    const pairs = [...new FormData(this.form)].filter(([name]) => !name.endsWith("-lineage") && name !== "version")
    return JSON.stringify(pairs)
  }

  #soon = (_event, wait = PAUSE_MS) => {
    clearTimeout(this.#pause)
    if (!this.#isOver) this.#pause = setTimeout(this.#save, wait)
  }

  #save = async () => {
    if (this.#saving) { this.#isAgain = true; return }
    const content = this.#content()
    if (content === this.#sent) return
    this.#say("saving")
    this.#saving = this.#sendAndTake(content)
    try {
      await this.#saving
    } finally {
      this.#saving = null
    }
    if (this.#pressed) this.form.requestSubmit(this.#pressed.button)
    else if (this.#isAgain) { this.#isAgain = false; this.#soon() }
  }

  async #sendAndTake(content) {
    const sent = new FormData(this.form)
    await this.#take(await send(this.form), content, sent)
  }

  async #take(answer, content, sent) {
    if (!answer || answer.status >= 500) { this.#say("saving-offline"); return this.#soon(null, RETRY_MS) }
    if (answer.redirected || answer.status === 403) return this.#end("saving-sign-in")
    if (answer.status === 404) return this.#end("saving-gone")
    if (!answer.ok) return this.#end("saving-refused")
    const told = await answer.json()
    if (told.is_published) return this.#end("saving-published", "saving-show")
    if (told.is_edited_meanwhile) return this.#end("saving-conflict", "saving-compare")
    if (told.problems) return this.#say("saving-not-yet", { problems: told.problems })
    return this.#saved(told, content, sent)
  }

  #end(key, button = "") {
    this.#isOver = true
    this.#say(key, { button, isWrong: true })
  }

  #saved({ version, fields }, content, sent) {
    const isAllSaved = content === this.#content()
    this.#sent = content
    this.form.elements.version.value = version
    this.#others(version)
    this.dispatchEvent(new CustomEvent("rows-saved", { bubbles: true, detail: { fields, sent } }))
    if (isAllSaved) this.#settle()
    const time = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" })
    this.#say("saving-saved", { words: { time } })
  }

  // Names may have been written out: that is no change of anybody's.
  #settle() {
    this.#sent = this.#content()
    this.closest("unsaved-changes")?.dispatchEvent(new CustomEvent("saved"))
  }

  // Other forms of the page that name the version they saw.
  #others(version) {
    for (const field of document.querySelectorAll("input[name=version]")) field.value = version
  }

  #say(key, { problems = [], button = "", words = {}, isWrong = false } = {}) {
    const line = this.#line
    line.replaceChildren(text(key, words), problems.length ? ` ${problems[0]}` : "")
    line.classList.toggle("field__error", isWrong)
    if (button) line.append(" ", make("button", { class: "button button--quiet button--small" }, text(button)))
  }
}

// A link that takes the page away: not to a place in it, another tab, a file, or what a script does with it.
function leavesByItself(event, link) {
  const isPlain = event.button === 0 && !(event.altKey || event.ctrlKey || event.metaKey || event.shiftKey)
  const isHere = link.href.split("#")[0] === location.href.split("#")[0]
  return isPlain && !event.defaultPrevented && !isHere && !link.target && !link.hasAttribute("download")
}

async function send(form, more = {}) {
  // Short: what outlives a page may be 64 KB.
  const body = new URLSearchParams(new FormData(form))
  body.set("then", "self")
  // The header has the newest one.
  body.delete("csrfmiddlewaretoken")
  try {
    return await fetch(form.action, { method: "POST", body, headers: { "X-CSRFToken": csrfToken() }, ...more })
  } catch {
    return null
  }
}

customElements.define("self-saving", SelfSaving)
