// Keeps what is typed into the form inside on this device, so that a sign-in that ran out loses nothing.
const PREFIX = "draft:"
const KEPT_MS = 7 * 24 * 3600 * 1000

class DraftKeeper extends HTMLElement {
  connectedCallback() {
    forgetOld()
    if (this.hasAttribute("forget")) drop(PREFIX + this.getAttribute("forget"))
    this.form = this.querySelector("form")
    if (!this.form || !this.hasAttribute("key")) return
    // After a refusal the page already shows what was typed last.
    if (!this.hasAttribute("fresh")) this.#restore()
    this.addEventListener("input", this.#keep)
    this.addEventListener("change", this.#keep)
    this.addEventListener("notes-change", this.#keep)
    this.querySelector("[data-discard]")?.addEventListener("click", this.#discard)
  }

  get key() { return PREFIX + this.getAttribute("key") }

  #keep = () => {
    const values = Object.fromEntries([...new FormData(this.form)].filter(([name]) => name !== "csrfmiddlewaretoken"))
    store(this.key, { at: Date.now(), values })
  }

  #restore() {
    const draft = load(this.key)
    if (!draft) return
    for (const [name, value] of Object.entries(draft.values)) this.#put(name, value)
    this.querySelector("[data-restored]")?.removeAttribute("hidden")
  }

  #put(name, value) {
    // Notes draw themselves from their attribute; this module runs before theirs.
    const notes = this.querySelector(`review-notes[name="${name}"]`)
    if (notes) { notes.setAttribute("value", value); return }
    const field = this.form.elements.namedItem(name)
    if (field) field.value = value
  }

  #discard = () => { drop(this.key); location.reload() }
}

function forgetOld() {
  for (const key of drafts()) {
    const draft = load(key)
    if (!draft || Date.now() - draft.at > KEPT_MS) drop(key)
  }
}

// A browser may refuse its storage; then nothing is kept and the form works as ever.
function drafts() {
  try { return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX)) } catch { return [] }
}

function load(key) {
  try { return JSON.parse(localStorage.getItem(key)) } catch { return null }
}

function store(key, draft) {
  try { localStorage.setItem(key, JSON.stringify(draft)) } catch { /* full or forbidden */ }
}

function drop(key) {
  try { localStorage.removeItem(key) } catch { /* forbidden */ }
}

customElements.define("draft-keeper", DraftKeeper)
