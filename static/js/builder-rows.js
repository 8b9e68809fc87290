// The rows of the session editor as a list in the page: their order, their numbers, their brackets.
import { bracketOf, freeNumber, moved, withIndex } from "row-order"
import { fillRow, valuesOf } from "row-values"
import { text } from "texts"

const BRACKETS = ["opens", "within", "closes"]

export class BuilderRows {
  constructor(holder) {
    this.list = holder.querySelector("[data-rows]")
    this.blank = holder.querySelector("[data-blank-row]")
    this.form = this.list.closest("form")
    this.prefix = holder.getAttribute("prefix")
    // Rows that are taken out of the page are gone: none is missed as one that the page began with.
    this.#count("INITIAL").value = 0
  }

  get all() { return [...this.list.querySelectorAll(":scope > [data-row]")] }

  get state() { return this.all.map(valuesOf) }

  #count(which) { return this.form.elements[`${this.prefix}-${which}_FORMS`] }

  insert(values, after = null) {
    const number = freeNumber(this.all.map((row) => row.querySelector("[name]").name))
    const holder = document.createElement("template")
    holder.innerHTML = withIndex(this.blank.innerHTML, this.prefix, number)
    const total = this.#count("TOTAL")
    total.value = Math.max(Number(total.value), number + 1)
    const row = holder.content.querySelector("[data-row]")
    fillRow(row, values)
    if (after) after.after(row)
    else this.list.append(row)
    return row
  }

  // The row to go on with afterwards.
  remove(row) {
    const next = row.nextElementSibling ?? row.previousElementSibling
    row.remove()
    return next ?? this.insert({})
  }

  move(row, by) {
    const rows = this.all
    this.list.replaceChildren(...moved(rows, rows.indexOf(row), by))
  }

  refill(state) {
    this.list.replaceChildren()
    for (const values of state) this.insert(values)
  }

  // What the server made of them: lineages, and whole names. A row that is another by now keeps what it has.
  take({ fields, sent }) {
    const elements = this.form.elements
    const isSame = (name) => elements[name]?.value === sent.get(name)
    const mine = Object.entries(fields).filter(([name]) => isSame(name.replace(/-lineage$/, "-movement")))
    for (const [name, value] of mine) if (elements[name] && elements[name] !== document.activeElement) elements[name].value = value
  }

  number() {
    this.all.forEach((row, index) => fillRow(row, { ORDER: index + 1 }))
    this.draw()
  }

  draw() {
    const rows = this.all
    const joined = rows.map((row) => row.querySelector("input[name$=-joined]").checked)
    rows.forEach((row, index) => {
      const bracket = bracketOf(joined, index)
      for (const kind of BRACKETS) row.classList.toggle(`builder-row--${kind}`, bracket === kind)
      nameButtons(row, index + 1)
    })
  }
}

// By ear, "Remove" alone does not say what is removed.
function nameButtons(row, number) {
  const { movement } = valuesOf(row)
  for (const button of row.querySelectorAll("[data-says]")) {
    button.ariaLabel = text(movement ? "row-button" : "row-button-empty", { action: button.dataset.says, number, movement })
  }
}
