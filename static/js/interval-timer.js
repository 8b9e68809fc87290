// Calls the beginning of each set every so many seconds, or counts one long time down: <interval-timer seconds rounds>.
import { clockFace, intervalAt } from "countdown"
import { make, makeButton } from "elements"
import { beep, readySound, vibrate } from "signals"
import { text } from "texts"

class IntervalTimer extends HTMLElement {
  #startedAt = null
  #tick = null
  #round = 0

  connectedCallback() {
    this.name = make("p", { class: "timer__name", role: "status" })
    this.clock = make("output", { class: "timer__clock", "aria-live": "off" })
    this.main = makeButton(text("rest-start"), () => (this.#startedAt === null ? this.#start() : this.#stop()), {
      class: "button button--large timer__main",
    })
    this.replaceChildren(make("div", { class: "timer", role: "group", "aria-label": text("clock") },
      make("div", { class: "timer__face" }, this.name, this.clock), this.main))
    this.#rest()
    document.addEventListener("visibilitychange", this.#update)
  }

  disconnectedCallback() {
    clearInterval(this.#tick)
    document.removeEventListener("visibilitychange", this.#update)
  }

  get seconds() { return Number(this.getAttribute("seconds")) || 60 }

  get rounds() { return Number(this.getAttribute("rounds")) || 1 }

  #start() {
    readySound()
    this.#startedAt = Date.now()
    this.#round = 0
    this.main.textContent = text("stop")
    this.#tick = setInterval(this.#update, 200)
    this.#update()
  }

  #stop() {
    clearInterval(this.#tick)
    this.#startedAt = null
    this.main.textContent = text("rest-start")
    this.#rest()
  }

  #rest() {
    this.name.textContent = this.rounds > 1 ? text("interval-ready", { seconds: this.seconds, rounds: this.rounds }) : text("clock-limit", { seconds: this.seconds })
    this.clock.textContent = clockFace(this.seconds)
  }

  #update = () => {
    if (this.#startedAt === null) return
    const { round, left, isOver } = intervalAt(this.#startedAt, this.seconds, this.rounds, Date.now())
    this.clock.textContent = clockFace(left)
    if (isOver) return this.#end()
    if (round !== this.#round) this.#begin(round)
  }

  #begin(round) {
    this.#round = round
    this.name.textContent = this.rounds > 1 ? text("interval-go", { round, rounds: this.rounds }) : text("rest-go")
    vibrate(200)
    beep()
  }

  #end() {
    this.#stop()
    this.name.textContent = text("interval-over")
    vibrate([200, 100, 200])
    beep({ pitch: 880 })
  }
}

customElements.define("interval-timer", IntervalTimer)
