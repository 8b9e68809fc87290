// A video stepped exactly, frame by frame, by a table of presentation times.
import { clampFrame, frameAt, midFrameTime, parseTimes } from "frame-times"
import { buildControls } from "player-controls"
import { isForPlayer, keyAction } from "player-keys"
import { text } from "texts"

// Media times were measured within 1.1 ms of the table.
const EXACT_SECONDS = 0.002

class FramePlayer extends HTMLElement {
  #times = []
  #frame = 0
  #wanted = null
  #isSeeking = false
  #exactFrame = null

  async connectedCallback() {
    this.video = this.querySelector("video")
    this.video.removeAttribute("controls")
    this.video.addEventListener("loadedmetadata", this.#checkPicture)
    this.video.addEventListener("error", this.#sayConverting)
    this.video.addEventListener("seeked", this.#onSeeked)
    for (const kind of ["play", "pause", "ended"]) this.video.addEventListener(kind, this.#onPlayState)
    document.addEventListener("keydown", this.#onKey)
    this.controls = buildControls(this)
    this.append(this.controls.bar)
    await this.#loadTimes()
    if (this.video.readyState > 0) this.#checkPicture()
    if (this.video.error) this.#sayConverting()
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#onKey)
    this.video.pause()
  }

  get frame() { return this.#frame }

  get frameCount() { return this.#times.length }

  get seconds() { return this.#times[this.#frame] ?? 0 }

  pause() { this.video.pause() }

  toggle() {
    if (this.video.paused) this.video.play()
    else this.video.pause()
  }

  setSpeed(rate) {
    this.video.playbackRate = rate
    this.controls.showSpeed(rate)
  }

  step(by) {
    this.video.pause()
    this.seekFrame((this.#wanted ?? this.#frame) + by)
  }

  // Seeks asked for while one is under way are folded into the last: a held key never queues up.
  seekFrame(index) {
    if (this.frameCount === 0) return
    this.#wanted = clampFrame(this.#times, index)
    this.controls.showFrame(this.#wanted, this.#times[this.#wanted], this.frameCount)
    if (!this.#isSeeking) this.#seekWanted()
  }

  #seekWanted() {
    this.#isSeeking = true
    this.#exactFrame = null
    this.target = this.#wanted
    const time = midFrameTime(this.#times, this.target)
    this.video.currentTime = Math.min(time, Number.isFinite(this.video.duration) ? this.video.duration : time)
    this.video.requestVideoFrameCallback?.((_now, { mediaTime }) => this.#confirm(mediaTime))
  }

  #onSeeked = () => {
    this.#isSeeking = false
    if (this.#wanted !== null && this.#wanted !== this.target) return this.#seekWanted()
    const shown = this.#wanted ?? frameAt(this.#times, this.video.currentTime)
    this.#wanted = null
    return this.#show(shown)
  }

  // The browser tells which picture it really shows; it may be late, when another frame is wanted already.
  #confirm(mediaTime) {
    if (!this.video.paused || (this.#wanted !== null && this.#wanted !== this.target)) return
    const frame = frameAt(this.#times, mediaTime)
    if (Math.abs(this.#times[frame] - mediaTime) < EXACT_SECONDS) this.#exactFrame = frame
    this.#show(frame)
  }

  #show(frame) {
    const exact = this.#exactFrame === frame
    this.#frame = frame
    const seconds = this.#times[frame] ?? 0
    this.controls.showFrame(frame, seconds, this.frameCount)
    this.dispatchEvent(new CustomEvent("frame-change", { bubbles: true, detail: { frame, seconds, exact } }))
  }

  #onPlayState = () => {
    this.controls.showPlaying(!this.video.paused)
    if (this.video.paused) this.seekFrame(frameAt(this.#times, this.video.currentTime))
    else this.#follow()
  }

  #follow = () => {
    if (this.video.paused || !this.isConnected) return
    this.#show(frameAt(this.#times, this.video.currentTime))
    requestAnimationFrame(this.#follow)
  }

  #onKey = (event) => {
    const action = isForPlayer(event) && keyAction(event)
    if (!action || this.frameCount === 0) return
    event.preventDefault()
    if (action.verb === "step") this.step(action.by)
    if (action.verb === "first") this.seekFrame(0)
    if (action.verb === "last") this.seekFrame(this.frameCount - 1)
    if (action.verb === "toggle") this.toggle()
  }

  async #loadTimes() {
    try {
      this.#times = parseTimes(await this.#readTimes(), Number(this.getAttribute("timebase")) || 90000)
      this.controls.showFrame(0, this.#times[0], this.frameCount)
    } catch (error) {
      console.warn("frame times could not be read", error)
      this.controls.say(text("player-no-times"))
      this.video.setAttribute("controls", "")
    }
  }

  async #readTimes() {
    const script = document.getElementById(this.getAttribute("times"))
    if (script) return JSON.parse(script.textContent)
    const response = await fetch(this.getAttribute("times-url"), { headers: { Accept: "application/json" } })
    if (!response.ok) throw new Error(`frame times: ${response.status}`)
    return response.json()
  }

  // A browser that cannot decode the codec plays the sound alone.
  #checkPicture = () => {
    if (this.video.videoWidth === 0) this.#sayConverting()
    else if (this.frameCount > 0) this.seekFrame(this.#frame)
  }

  #sayConverting = () => this.controls.say(text("player-converting"))
}

customElements.define("frame-player", FramePlayer)

