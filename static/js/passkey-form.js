// Asks the device for a passkey when the form inside is sent, and sends its answer along in the field "credential".
import { make } from "elements"
import { answerOf, creationFrom, requestFrom } from "passkey-json"
import { text } from "texts"

const REASONS = new Map([
  ["SecurityError", "passkey-no-name"],
  ["InvalidStateError", "passkey-there"],
  ["NotAllowedError", "passkey-none"],
  ["AbortError", "passkey-none"],
])

class PasskeyForm extends HTMLElement {
  connectedCallback() {
    this.form = this.querySelector("form")
    this.voice = make("p", { role: "status", class: "small" })
    this.append(this.voice)
    if (!window.isSecureContext) return this.#close("passkey-insecure")
    if (!window.PublicKeyCredential) return this.#close("passkey-unknown")
    this.form.addEventListener("submit", this.#ask)
  }

  disconnectedCallback() {
    this.form.removeEventListener("submit", this.#ask)
  }

  #close(reason) {
    for (const button of this.form.querySelectorAll("button")) button.disabled = true
    this.voice.textContent = text(reason)
  }

  #ask = async (event) => {
    event.preventDefault()
    this.voice.textContent = text("passkey-asking")
    try {
      const credential = await this.#credential(await this.#options())
      this.form.elements.credential.value = JSON.stringify(answerOf(credential))
      this.form.submit()
    } catch (error) {
      this.voice.textContent = text(REASONS.get(error.name) ?? "passkey-failed")
    }
  }

  #credential({ creation_options: creation, request_options: request }) {
    if (creation) return navigator.credentials.create({ publicKey: creationFrom(creation) })
    return navigator.credentials.get({ publicKey: requestFrom(request) })
  }

  // Signing in, the question is fetched when it is needed: it is good for one answer.
  async #options() {
    const script = document.getElementById(this.getAttribute("options"))
    if (script) return JSON.parse(script.textContent)
    const answer = await fetch(this.form.action, { headers: { Accept: "application/json" } })
    if (!answer.ok) throw new Error(`the question was answered with ${answer.status}`)
    return answer.json()
  }
}

customElements.define("passkey-form", PasskeyForm)
