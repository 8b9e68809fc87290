// Copies the value of an input and says so.
import { make, makeButton } from "elements"
import { text } from "texts"

class CopyButton extends HTMLElement {
  connectedCallback() {
    this.voice = make("span", { role: "status", class: "small muted" })
    this.replaceChildren(makeButton(text("copy"), this.#copy), this.voice)
  }

  #copy = async () => {
    const input = document.getElementById(this.getAttribute("for"))
    input.select()
    try {
      await navigator.clipboard.writeText(input.value)
      this.voice.textContent = text("copy-done")
    } catch {
      // No clipboard outside a secure context: the text is selected, so one key does it.
      this.voice.textContent = text("copy-by-hand")
    }
  }
}

customElements.define("copy-button", CopyButton)
