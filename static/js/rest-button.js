// A set is done where nothing is logged: starts the rest that belongs to it.
import { makeButton } from "elements"
import { text } from "texts"

class RestButton extends HTMLElement {
  connectedCallback() {
    const rest = Number(this.getAttribute("seconds"))
    const words = text("rest-after-set", { seconds: rest })
    const done = () => this.dispatchEvent(new CustomEvent("set-done", { bubbles: true, detail: { rest } }))
    this.replaceChildren(makeButton(words, done, { "aria-label": `${words}: ${this.getAttribute("name")}` }))
  }
}

customElements.define("rest-button", RestButton)
