// Moves along the actions of a list with j and k, or with the arrows once one has the focus; Enter opens it.
const TYPING = "input, textarea, select, [contenteditable]"
const STEPS = { j: 1, k: -1, ArrowDown: 1, ArrowUp: -1 }

class RowKeys extends HTMLElement {
  connectedCallback() { document.addEventListener("keydown", this.#onKey) }

  disconnectedCallback() { document.removeEventListener("keydown", this.#onKey) }

  #onKey = (event) => {
    const step = STEPS[event.key]
    if (!step || event.ctrlKey || event.metaKey || event.altKey || event.target.closest?.(TYPING)) return
    const stops = [...this.querySelectorAll("[data-row-stop]")]
    const here = stops.indexOf(document.activeElement)
    if (stops.length === 0 || (here < 0 && event.key.startsWith("Arrow"))) return
    event.preventDefault()
    stops[nextStop(here, step, stops.length)].focus()
  }
}

function nextStop(here, step, count) {
  if (here < 0) return step > 0 ? 0 : count - 1
  return Math.min(count - 1, Math.max(0, here + step))
}

customElements.define("row-keys", RowKeys)
