// Counts the rest down; announced in words at the start, ten seconds before the end and at the end.
import { adjustCountdown, clockFace, isOver, secondsLeft, startCountdown, worthSaying } from "countdown"
import { make, makeButton } from "elements"
import { beep, readySound, vibrate } from "signals"
import { text } from "texts"

class RestTimer extends HTMLElement {
  #countdown = null
  #shown = 0
  #tick = null

  connectedCallback() {
    this.#build()
    document.addEventListener("visibilitychange", this.#update)
    if (this.hasAttribute("listen")) document.addEventListener("set-done", this.#onSetDone)
    if (this.hasAttribute("autostart")) this.start()
  }

  disconnectedCallback() {
    clearInterval(this.#tick)
    document.removeEventListener("visibilitychange", this.#update)
    document.removeEventListener("set-done", this.#onSetDone)
  }

  get seconds() {
    return Number(this.getAttribute("seconds")) || 60
  }

  start(seconds = this.seconds) {
    if (this.hasAttribute("beep")) readySound()
    this.setAttribute("seconds", seconds)
    this.#countdown = startCountdown(seconds, Date.now())
    this.#shown = seconds
    this.#say(text("rest-started", { seconds }))
    clearInterval(this.#tick)
    this.#tick = setInterval(this.#update, 250)
    this.#show("running")
  }

  stop() {
    clearInterval(this.#tick)
    this.#countdown = null
    this.#show("stopped")
  }

  adjust(seconds) {
    if (!this.#countdown) return this.start(Math.max(15, this.seconds + seconds))
    this.#countdown = adjustCountdown(this.#countdown, seconds, Date.now())
    return this.#update()
  }

  #build() {
    this.clock = make("output", { class: "timer__clock", "aria-live": "off" })
    this.main = makeButton("", () => (this.#countdown ? this.stop() : this.start()), { class: "button timer__main" })
    this.bar = make("progress", { class: "progress timer__bar", "aria-hidden": "true", max: 1 })
    this.voice = make("p", { class: "visually-hidden", role: "status" })
    this.box = make("div", { class: "timer", role: "group", "aria-label": text("rest") },
      make("div", { class: "timer__face" }, make("span", { class: "timer__name", "aria-hidden": "true" }, text("rest")), this.clock),
      makeButton("−15", () => this.adjust(-15), { "aria-label": text("rest-less") }),
      makeButton("+15", () => this.adjust(15), { "aria-label": text("rest-more") }),
      this.main, this.bar, this.voice)
    this.replaceChildren(this.box)
    this.#show("stopped")
  }

  #onSetDone = (event) => { if (event.detail?.rest) this.start(event.detail.rest) }

  #update = () => {
    if (!this.#countdown) return
    const left = secondsLeft(this.#countdown, Date.now())
    const saying = worthSaying(this.#shown, left)
    this.#shown = left
    if (saying === "soon") this.#say(text("rest-soon", { seconds: left }))
    if (isOver(this.#countdown, Date.now())) this.#finish()
    else this.#show("running")
  }

  #finish() {
    this.stop()
    this.#show("over")
    this.#say(text("rest-over"))
    if (this.hasAttribute("vibrate")) vibrate([200, 100, 200])
    if (this.hasAttribute("beep")) beep()
    this.dispatchEvent(new CustomEvent("rest-over", { bubbles: true }))
  }

  #show(state) {
    const left = this.#countdown ? secondsLeft(this.#countdown, Date.now()) : this.seconds
    this.box.dataset.state = state
    this.clock.textContent = state === "over" ? text("rest-go") : clockFace(left)
    this.main.textContent = state === "running" ? text("stop") : text("rest-start")
    this.bar.value = state === "running" && this.#countdown.total > 0 ? left / this.#countdown.total : 0
  }

  #say(words) {
    this.voice.textContent = words
  }
}

customElements.define("rest-timer", RestTimer)
