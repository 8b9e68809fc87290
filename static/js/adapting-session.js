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
    this.#asking?.abort()
    const asking = (this.#asking = new AbortController())
    try {
      const answer = await fetch(address, { signal: asking.signal, credentials: "omit" })
      if (!answer.ok) throw new Error(String(answer.status))
      this.#show(await answer.text(), address)
    } catch {
      // Another tick asked anew, or there is no connection: then the button still asks.
      if (!asking.signal.aborted) this.#tell(text("adapting-failed"))
    }
  }

  #show(page, address) {
    const part = new DOMParser().parseFromString(page, "text/html").querySelector("[data-session-part]")
    this.querySelector("[data-session-part]").replaceChildren(...part.childNodes)
    history.replaceState(null, "", address)
    this.#tell(this.querySelector("[data-summary]").textContent)
  }

  #tell(words) {
    this.querySelector("[data-told]").textContent = words
  }
}

function addressOf(form) {
  return `${location.pathname}?${new URLSearchParams(new FormData(form))}`
}

customElements.define("adapting-session", AdaptingSession)
