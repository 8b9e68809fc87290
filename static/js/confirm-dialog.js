// Asks once more before a form that cannot be taken back is sent.
import { make, makeButton } from "elements"
import { text } from "texts"

class ConfirmDialog extends HTMLElement {
  #isConfirmed = false

  connectedCallback() {
    this.addEventListener("submit", this.#ask, { capture: true })
  }

  disconnectedCallback() {
    this.removeEventListener("submit", this.#ask, { capture: true })
  }

  #ask = (event) => {
    if (this.#isConfirmed) return
    event.preventDefault()
    event.stopPropagation()
    const { target: form, submitter } = event
    const dialog = this.#dialog(() => { this.#isConfirmed = true; form.requestSubmit(submitter) })
    this.append(dialog)
    dialog.showModal()
  }

  #dialog(confirm) {
    const question = make("p", { id: "confirm-question" }, this.getAttribute("question"))
    const dialog = make("dialog", { class: "dialog", "aria-labelledby": "confirm-question" }, question)
    dialog.append(make("div", { class: "dialog__actions" },
      makeButton(text("cancel"), () => dialog.close(), { autofocus: true }),
      makeButton(this.getAttribute("action") ?? text("confirm"), () => { dialog.close(); confirm() }, { class: "button button--stop" })))
    dialog.addEventListener("close", () => dialog.remove())
    return dialog
  }
}

customElements.define("confirm-dialog", ConfirmDialog)
