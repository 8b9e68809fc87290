// Shows the session anew when something is ticked: the same address is asked as by the form's button.
import { text } from "texts"

class AdaptingSession extends HTMLElement {
  #asking = null

  connectedCallback() {
    this.addEventListener("change", this.#onChange)
  }

  disconnectedCallback() {
    this.removeEventListener("change", this.#onChange)
    this.#asking?.abort()
  }

  #onChange = async ({ target }) => {
    const form = target.form
    if (!form || form.method !== "get") return
    const address = addressOf(form)
    const part = this.querySelector("[data-session-part]")
    part.setAttribute("aria-busy", "true")
    this.#asking?.abort()
    const asking = (this.#asking = new AbortController())
    try {
      const answer = await fetch(address, { signal: asking.signal, credentials: "omit" })
      if (!answer.ok) throw new Error(String(answer.status))
      this.#show(await answer.text(), address)
    } catch {
      // Another tick asked anew, or there is no connection: then the button still asks.
      if (!asking.signal.aborted) this.#fail()
    }
  }

  #show(page, address) {
    const part = new DOMParser().parseFromString(page, "text/html").querySelector("[data-session-part]")
    this.querySelector("[data-session-part]").replaceChildren(...part.childNodes)
    this.querySelector("[data-session-part]").removeAttribute("aria-busy")
    this.querySelector("[data-told]").classList.add("visually-hidden")
    history.replaceState(null, "", address)
    this.#tell(this.querySelector("[data-summary]").textContent)
  }

  // Seen by everybody: below stands a session that does not fit what is ticked, and it stays dimmed.
  #fail() {
    this.#tell(text("adapting-failed"))
    this.querySelector("[data-told]").classList.remove("visually-hidden")
  }

  #tell(words) {
    this.querySelector("[data-told]").textContent = words
  }
}

function addressOf(form) {
  return `${location.pathname}?${new URLSearchParams(new FormData(form))}`
}

customElements.define("adapting-session", AdaptingSession)
