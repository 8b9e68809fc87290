// Shows the session anew when something is ticked: the same address is asked as by the form's button.
import { text } from "texts"

class AdaptingSession extends HTMLElement {
  #asking = null

  connectedCallback() {
    this.addEventListener("change", this.#onChange)
    this.addEventListener("submit", this.#onSubmit)
  }

  disconnectedCallback() {
    this.removeEventListener("change", this.#onChange)
    this.removeEventListener("submit", this.#onSubmit)
    this.#asking?.abort()
  }

  #onChange = ({ target }) => {
    if (target.form?.method === "get") this.#ask(target.form)
  }

  // The button goes to the session, which follows every tick by itself. After a failure it asks as a plain form does.
  #onSubmit = (event) => {
    const part = this.querySelector("[data-session-part]")
    if (part.inert) return
    event.preventDefault()
    part.focus()
    part.scrollIntoView()
  }

  #ask = async (form) => {
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
    this.querySelector("[data-session-part]").inert = false
    this.querySelector("[data-told]").classList.add("visually-hidden")
    history.replaceState(null, "", address)
    this.#tell(this.querySelector("[data-summary]").textContent)
  }

  // Seen by everybody: below stands a session that does not fit what is ticked, dimmed and out of reach.
  #fail() {
    this.querySelector("[data-session-part]").inert = true
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
