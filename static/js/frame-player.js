// A video stepped exactly, frame by frame, by a table of presentation times.
import { clampFrame, frameAt, midFrameTime, nudgedTime, parseTimes } from "frame-times"
import { buildControls } from "player-controls"
import { isForPlayer, keyAction } from "player-keys"
import { text } from "texts"

// Media times were measured within 1.1 ms of the table.
const EXACT_SECONDS = 0.002
// About one seek in twenty is painted without the browser telling: after this long we seek within the frame once more.
const NUDGE_MS = 150

class FramePlayer extends HTMLElement {
  #times = []
  #frame = 0
  #wanted = null
  #isSeeking = false
  #exactFrame = null
  #nudge = null
  #nudgedFrame = null

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
    clearTimeout(this.#nudge)
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
    this.target = this.#wanted
    this.#nudgedFrame = null
    if (this.#exactFrame !== this.target) this.#exactFrame = null
    const time = midFrameTime(this.#times, this.target)
    this.video.currentTime = Math.min(time, Number.isFinite(this.video.duration) ? this.video.duration : time)
    this.#listenForPicture(this.target)
  }

  #onSeeked = () => {
    this.#isSeeking = false
    if (this.#wanted !== null && this.#wanted !== this.target) return this.#seekWanted()
    this.#wanted = null
    if (this.#exactFrame !== this.target) this.#nudgeSoon(this.target)
    // Where the video really is: a server without ranges leaves it at the start.
    return this.#show(frameAt(this.#times, this.video.currentTime))
  }

  // The browser tells which picture it really shows. The first call may still be about the picture before the seek.
  #listenForPicture(target) {
    this.video.requestVideoFrameCallback?.((_now, { mediaTime }) => {
      if (target !== this.target || !this.video.paused) return
      const isThere = Math.abs(this.#times[target] - mediaTime) < EXACT_SECONDS
      if (isThere) this.#confirm(target)
      else this.#listenForPicture(target)
    })
  }

  #nudgeSoon(target) {
    if (this.#nudgedFrame === target || !this.video.requestVideoFrameCallback) return
    clearTimeout(this.#nudge)
    this.#nudge = setTimeout(() => {
      const isStill = this.isConnected && this.video.paused && target === this.target && this.#wanted === null
      if (!isStill || this.#exactFrame === target) return
      this.#nudgedFrame = target
      this.video.currentTime = nudgedTime(this.#times, target)
    }, NUDGE_MS)
  }

  #confirm(frame) {
    this.#exactFrame = frame
    if (!this.#isSeeking) this.#show(frame)
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

