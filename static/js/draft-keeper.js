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
    const pairs = [...new FormData(this.form)].filter(([name, value]) => name !== "csrfmiddlewaretoken" && typeof value === "string")
    store(this.key, { at: Date.now(), pairs })
  }

  #restore() {
    const draft = load(this.key)
    if (!draft?.pairs) return
    for (const [name, value] of draft.pairs) this.#putNotes(name, value)
    fill([...this.form.elements], draft.pairs)
    this.querySelector("[data-restored]")?.removeAttribute("hidden")
  }

  // Notes draw themselves from their attribute; this module runs before theirs.
  #putNotes(name, value) {
    this.querySelector(`review-notes[name="${name}"]`)?.setAttribute("value", value)
  }

  #discard = () => { drop(this.key); location.reload() }
}

// Ticks as they were, also those taken away; several inputs of one name in their order. Hidden ones belong to the page.
export function fill(elements, pairs) {
  const left = new Map()
  for (const [name, value] of pairs) left.set(name, [...(left.get(name) ?? []), value])
  for (const element of elements) {
    if (!element.name || element.type === "hidden" || element.type === "file") continue
    if (element.type === "checkbox" || element.type === "radio") element.checked = (left.get(element.name) ?? []).includes(element.value)
    else if (left.get(element.name)?.length) element.value = left.get(element.name).shift()
  }
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
