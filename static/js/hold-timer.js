// Times an isometric hold: a short lead, then counting up; Stop writes whole seconds into the input named by `for`.
import { clockFace, holdAt } from "countdown"
import { make, makeButton } from "elements"
import { beep, readySound, vibrate } from "signals"
import { text } from "texts"

class HoldTimer extends HTMLElement {
  #startedAt = null
  #tick = null
  #reached = false

  connectedCallback() {
    this.#build()
    document.addEventListener("visibilitychange", this.#update)
  }

  disconnectedCallback() {
    clearInterval(this.#tick)
    document.removeEventListener("visibilitychange", this.#update)
  }

  get target() {
    return Number(this.getAttribute("target")) || 0
  }

  get lead() {
    return Number(this.getAttribute("lead") ?? 3)
  }

  start() {
    readySound()
    this.#startedAt = Date.now()
    this.#reached = false
    this.main.textContent = text("stop")
    this.#tick = setInterval(this.#update, 100)
    this.#update()
  }

  stop() {
    clearInterval(this.#tick)
    const { phase, seconds } = holdAt(this.#startedAt, this.lead, Date.now())
    this.#startedAt = null
    this.main.textContent = text("hold-start")
    if (phase === "lead") return this.#rest()
    this.#write(seconds)
    this.name.textContent = text("hold-held", { seconds })
    return this.dispatchEvent(new CustomEvent("hold-stopped", { bubbles: true, detail: { seconds } }))
  }

  #build() {
    this.name = make("p", { class: "timer__name", role: "status" })
    this.clock = make("output", { class: "timer__clock", "aria-live": "off" })
    this.main = makeButton(text("hold-start"), () => (this.#startedAt === null ? this.start() : this.stop()), {
      class: "button button--large timer__main",
    })
    this.bar = make("progress", { class: "progress timer__bar", "aria-hidden": "true", max: 1, value: 0 })
    this.replaceChildren(make("div", { class: "timer timer--hold", role: "group", "aria-label": text("hold") },
      make("div", { class: "timer__face" }, this.name, this.clock), this.main, this.bar))
    this.#rest()
  }

  #rest() {
    this.name.textContent = text("hold-target", { seconds: this.target })
    this.clock.textContent = clockFace(0)
    this.bar.value = 0
  }

  #update = () => {
    if (this.#startedAt === null) return
    const { phase, seconds } = holdAt(this.#startedAt, this.lead, Date.now())
    this.clock.textContent = phase === "lead" ? String(seconds) : clockFace(seconds)
    this.#announce(phase === "lead" ? text("hold-ready") : text("hold-target", { seconds: this.target }))
    if (phase === "lead") return
    this.bar.value = this.target ? Math.min(1, seconds / this.target) : 0
    if (seconds >= this.target) this.#reach()
  }

  #announce(words) {
    if (!this.#reached && this.name.textContent !== words) this.name.textContent = words
  }

  #reach() {
    if (this.#reached) return
    this.#reached = true
    this.name.textContent = text("hold-reached", { seconds: this.target })
    vibrate(300)
    beep()
  }

  #write(seconds) {
    const input = document.getElementById(this.getAttribute("for"))
    if (!input) return
    input.value = seconds
    for (const kind of ["input", "change"]) input.dispatchEvent(new Event(kind, { bubbles: true }))
  }
}

customElements.define("hold-timer", HoldTimer)
