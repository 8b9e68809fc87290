// Clock of a baseline test. With `seconds` it counts that time down; with `for` it counts up and Stop writes whole
// seconds into that input. A lead of a few seconds comes first, to get into position.
import { clockFace, holdAt } from "countdown"
import { make, makeButton } from "elements"
import { beep, readySound, vibrate } from "signals"
import { text } from "texts"

const LEAD = 3

class BaselineClock extends HTMLElement {
  #startedAt = null
  #tick = null

  connectedCallback() {
    this.name = make("p", { class: "timer__name", role: "status" })
    this.clock = make("output", { class: "timer__clock", "aria-live": "off" })
    this.main = makeButton(text("rest-start"), () => (this.#startedAt === null ? this.start() : this.stop()), {
      class: "button button--large timer__main",
    })
    this.replaceChildren(make("div", { class: "timer timer--hold", role: "group", "aria-label": text("clock") },
      make("div", { class: "timer__face" }, this.name, this.clock), this.main))
    this.#rest()
    document.addEventListener("visibilitychange", this.#update)
  }

  disconnectedCallback() {
    clearInterval(this.#tick)
    document.removeEventListener("visibilitychange", this.#update)
  }

  get limit() {
    return Number(this.getAttribute("seconds")) || 0
  }

  start() {
    readySound()
    this.#startedAt = Date.now()
    this.main.textContent = text("stop")
    this.#tick = setInterval(this.#update, 100)
    this.#update()
  }

  stop() {
    const { phase, seconds } = holdAt(this.#startedAt, LEAD, Date.now())
    this.#end()
    if (phase === "lead" || this.limit) return this.#rest()
    this.#write(seconds)
    this.name.textContent = text("clock-stopped", { seconds })
    return this.dispatchEvent(new CustomEvent("hold-stopped", { bubbles: true, detail: { seconds } }))
  }

  #end() {
    clearInterval(this.#tick)
    this.#startedAt = null
    this.main.textContent = text("rest-start")
  }

  #rest() {
    this.name.textContent = this.limit ? text("clock-limit", { seconds: this.limit }) : text("clock-open")
    this.clock.textContent = clockFace(this.limit)
  }

  #update = () => {
    if (this.#startedAt === null) return
    const { phase, seconds } = holdAt(this.#startedAt, LEAD, Date.now())
    if (phase === "lead") {
      this.clock.textContent = String(seconds)
      this.#announce(text("hold-ready"))
      return
    }
    this.#announce(text("rest-go"))
    this.clock.textContent = clockFace(this.limit ? Math.max(0, this.limit - seconds) : seconds)
    if (this.limit && seconds >= this.limit) this.#over()
  }

  #over() {
    this.#end()
    this.name.textContent = text("clock-over")
    vibrate(300)
    beep()
  }

  #announce(words) {
    if (this.name.textContent !== words) this.name.textContent = words
  }

  #write(seconds) {
    const input = document.getElementById(this.getAttribute("for"))
    if (!input) return
    input.value = seconds
    for (const kind of ["input", "change"]) input.dispatchEvent(new Event(kind, { bubbles: true }))
  }
}

customElements.define("baseline-clock", BaselineClock)
