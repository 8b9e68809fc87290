// Warns before leaving a page while the form inside has edits nobody saved.
class UnsavedChanges extends HTMLElement {
  #dirty = false

  connectedCallback() {
    // What was typed and refused is not saved.
    this.#dirty = this.hasAttribute("typed")
    this.addEventListener("input", this.#markDirty)
    this.addEventListener("notes-change", this.#markDirty)
    this.addEventListener("submit", this.#markClean)
    this.addEventListener("saved", this.#markClean)
    window.addEventListener("beforeunload", this.#warn)
  }

  disconnectedCallback() {
    window.removeEventListener("beforeunload", this.#warn)
  }

  get dirty() {
    return this.#dirty
  }

  #markDirty = () => { this.#dirty = true }

  #markClean = (event) => { if (!event.defaultPrevented) this.#dirty = false }

  #warn = (event) => { if (this.#dirty) event.preventDefault() }
}

customElements.define("unsaved-changes", UnsavedChanges)
