// Drags a row by its handle to another place in the list, with mouse, pen or finger. Keys and buttons do the same.
class RowDrag extends HTMLElement {
  #row = null

  connectedCallback() {
    this.addEventListener("pointerdown", this.#take)
    this.addEventListener("pointermove", this.#drag)
    this.addEventListener("pointerup", this.#drop)
    this.addEventListener("pointercancel", this.#drop)
  }

  #take = (event) => {
    const handle = event.target.closest("[data-drag]")
    if (!handle || event.button !== 0) return
    event.preventDefault()
    this.#row = handle.closest("[data-row]")
    this.setPointerCapture(event.pointerId)
    this.#row.classList.add("builder-row--dragged")
  }

  #drag = (event) => {
    if (!this.#row) return
    const others = [...this.querySelectorAll("[data-row]")].filter((row) => row !== this.#row)
    const below = others.find((row) => event.clientY < middleOf(row.getBoundingClientRect()))
    if (below) below.before(this.#row)
    else others.at(-1)?.after(this.#row)
  }

  #drop = () => {
    if (!this.#row) return
    this.#row.classList.remove("builder-row--dragged")
    this.#row = null
    this.dispatchEvent(new CustomEvent("row-dragged", { bubbles: true }))
  }
}

function middleOf({ top, bottom }) {
  return (top + bottom) / 2
}

customElements.define("row-drag", RowDrag)
