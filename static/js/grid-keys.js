// Alt+Up and Alt+Down move to the same column of the next row of inputs. Plain arrows stay with number inputs.
export function cellBelow(rows, row, column, by) {
  const target = rows[row + by]
  return target ? target[Math.min(column, target.length - 1)] : null
}

if (typeof customElements !== "undefined") {
  class GridKeys extends HTMLElement {
    connectedCallback() {
      this.addEventListener("keydown", this.#move)
    }

    #move = (event) => {
      const by = { ArrowUp: -1, ArrowDown: 1 }[event.key]
      if (!by || !event.altKey || event.target.tagName === "TEXTAREA") return
      const rows = [...this.querySelectorAll(".builder-row")].map((row) => [...row.querySelectorAll(".builder-cell :is(input, select)")])
      const row = rows.findIndex((cells) => cells.includes(event.target))
      if (row < 0) return
      event.preventDefault()
      cellBelow(rows, row, rows[row].indexOf(event.target), by)?.focus()
    }
  }

  customElements.define("grid-keys", GridKeys)
}
