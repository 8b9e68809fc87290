// A minus and a plus button beside one number input.
import { makeButton } from "elements"
import { stepped } from "stepping"
import { text } from "texts"

class NumberStepper extends HTMLElement {
  connectedCallback() {
    if (this.querySelector("button")) return
    const label = this.#label()
    this.prepend(this.#button("−", -this.#step, text("stepper-less", { label })))
    this.append(this.#button("+", this.#step, text("stepper-more", { label })))
  }

  get #input() {
    return this.querySelector("input")
  }

  get #step() {
    return Number(this.getAttribute("step")) || 1
  }

  #label() {
    return this.#input.labels[0]?.textContent.trim() ?? ""
  }

  #button(sign, amount, name) {
    return makeButton(sign, () => this.#move(amount), { class: "stepper__button", "aria-label": name })
  }

  #move(amount) {
    const { min, max } = this.#input
    const limits = { min: min === "" ? undefined : Number(min), max: max === "" ? undefined : Number(max) }
    this.#input.value = stepped(this.#input.value, amount, limits)
    for (const kind of ["input", "change"]) this.#input.dispatchEvent(new Event(kind, { bubbles: true }))
  }
}

customElements.define("number-stepper", NumberStepper)
