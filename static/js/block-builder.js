// The session editor's rows: add, move, bracket, and the keys for it. The form itself works without.
import { bracketOf, moved, withIndex } from "row-order"

class BlockBuilder extends HTMLElement {
  connectedCallback() {
    this.addEventListener("click", this.#press)
    this.addEventListener("keydown", this.#key)
    this.addEventListener("change", this.#drawBrackets)
    this.addEventListener("htmx:afterSwap", this.#reveal)
    this.#reveal()
    this.#renumber()
  }

  get #list() { return this.querySelector("[data-rows]") }

  get #rows() { return [...this.#list.querySelectorAll(":scope > [data-row]")] }

  get #form() { return this.#list.closest("form") }

  #reveal = () => {
    for (const hidden of this.querySelectorAll("[data-move], [data-movement], [data-keys]")) hidden.hidden = false
  }

  #press = (event) => {
    const target = event.target.closest("[data-add-row], [data-move], [data-movement]")
    if (!target) return
    event.preventDefault()
    if (target.dataset.move) this.#move(target.closest("[data-row]"), Number(target.dataset.move), target)
    else if (target.dataset.movement) this.#add(target.dataset.movement)
    else this.#add("")
  }

  #key = (event) => {
    const row = event.target.closest("[data-row]")
    const isTyping = event.target.matches("input, select, textarea")
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) this.#form.requestSubmit()
    else if (event.key === "Enter" && event.altKey) this.#add("", row)
    else if (event.altKey && event.shiftKey && row && event.key === "ArrowUp") this.#move(row, -1, event.target)
    else if (event.altKey && event.shiftKey && row && event.key === "ArrowDown") this.#move(row, 1, event.target)
    else if (event.key === "/" && !isTyping) this.querySelector("[type=search]")?.focus()
    else return
    event.preventDefault()
    event.stopPropagation()
  }

  #add(movement, after = null) {
    const total = this.#form.elements[`${this.getAttribute("prefix")}-TOTAL_FORMS`]
    const blank = this.#blank(movement)
    if (!blank) {
      const holder = document.createElement("template")
      const html = this.querySelector("[data-blank-row]").innerHTML
      holder.innerHTML = withIndex(html, this.getAttribute("prefix"), total.value)
      total.value = Number(total.value) + 1
      if (after) after.after(holder.content)
      else this.#list.append(holder.content)
    }
    const row = blank ?? (after ? after.nextElementSibling : this.#rows.at(-1))
    const input = row.querySelector("input[list]")
    if (movement) input.value = movement
    this.#reveal()
    this.#renumber()
    const next = movement ? row.querySelector("input[name$=-sets]") : input
    next.focus()
  }

  // A found movement goes into the last row when that is still empty.
  #blank(movement) {
    const last = this.#rows.at(-1)
    return movement && last && !last.querySelector("input[list]").value ? last : null
  }

  #move(row, by, focus) {
    const rows = this.#rows
    this.#list.replaceChildren(...moved(rows, rows.indexOf(row), by))
    this.#renumber()
    focus.focus()
  }

  #renumber() {
    this.#rows.forEach((row, index) => {
      const place = row.querySelector("input[name$=-ORDER]")
      if (place) place.value = index + 1
    })
    for (const place of this.querySelectorAll("[data-place]")) place.hidden = true
    this.#drawBrackets()
    this.#form.dispatchEvent(new CustomEvent("rows-changed", { bubbles: true }))
  }

  #drawBrackets = () => {
    const rows = this.#rows
    const paired = rows.map((row) => row.querySelector("input[name$=-joined]").checked)
    rows.forEach((row, index) => {
      const bracket = bracketOf(paired, index)
      row.classList.toggle("builder-row--opens-pair", bracket === "opens")
      row.classList.toggle("builder-row--closes-pair", bracket === "closes")
      row.classList.toggle("builder-row--removed", Boolean(row.querySelector("input[name$=-DELETE]")?.checked))
    })
  }
}

customElements.define("block-builder", BlockBuilder)
