import { typesItself } from "typing-keys"

// Alt with a letter goes to what names it in data-key: a link is followed, all else gets the focus, so that nothing
// happens by a key that was held or meant for another page.
export function letterOf({ altKey, shiftKey, ctrlKey, metaKey, repeat, key = "", code }) {
  if (!altKey || shiftKey || ctrlKey || metaKey || repeat) return ""
  if (/^[a-z]$/i.test(key)) return key.toLowerCase()
  // A layout that writes another sign with Alt, or no Latin letters: by place.
  return /^Key[A-Z]$/.test(code) ? code.slice(3).toLowerCase() : ""
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
      if (target.matches("a")) target.click()
      else target.focus()
    }
  }

  customElements.define("page-keys", PageKeys)
}
