import { typesItself } from "typing-keys"

// Alt with a letter goes to what names it in data-key: a field is focused, a button or link is pressed.
export function letterOf({ altKey, shiftKey, ctrlKey, metaKey, code }) {
  const isPlain = altKey && !shiftKey && !ctrlKey && !metaKey
  return isPlain && /^Key[A-Z]$/.test(code) ? code.slice(3).toLowerCase() : ""
}

if (typeof customElements !== "undefined") {
  class PageKeys extends HTMLElement {
    connectedCallback() { document.addEventListener("keydown", this.#onKey) }

    disconnectedCallback() { document.removeEventListener("keydown", this.#onKey) }

    #onKey = (event) => {
      const letter = letterOf(event)
      const target = letter && this.querySelector(`[data-key="${letter}"]`)
      if (!target || event.defaultPrevented || typesItself(event, event.target)) return
      event.preventDefault()
      if (target.matches("a, button")) target.click()
      else target.focus()
    }
  }

  customElements.define("page-keys", PageKeys)
}
