// Adds a button to every password inside that shows what is typed. Sent forms hide it again, for the browser's memory.
import { make, makeButton } from "elements"
import { text } from "texts"

class ShowPassword extends HTMLElement {
  connectedCallback() {
    for (const input of this.querySelectorAll("input[type=password]")) this.#equip(input)
  }

  #equip(input) {
    const button = makeButton(text("password-show"), () => show(input.type === "password"), {
      class: "button button--quiet", "aria-label": text("password-show-all"), "aria-pressed": "false", "aria-controls": input.id,
    })
    const show = (shown) => {
      input.type = shown ? "text" : "password"
      button.setAttribute("aria-pressed", String(shown))
    }
    // Shown text is no prose: no suggestions, no capitals, and no spelling service that reads along.
    for (const [name, value] of [["autocapitalize", "none"], ["spellcheck", "false"], ["autocorrect", "off"]]) input.setAttribute(name, value)
    input.form?.addEventListener("submit", () => show(false))
    const row = make("div", { class: "password-row" })
    input.replaceWith(row)
    row.append(input, button)
  }
}

customElements.define("show-password", ShowPassword)
