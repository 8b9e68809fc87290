// The bar under the video: a track by frames, buttons for every key, three speeds, where we are.
import { make, makeButton } from "elements"
import { momentWords } from "frame-times"
import { text } from "texts"

const SPEEDS = [[0.25, "¼"], [0.5, "½"], [1, "1"]]

export function buildControls(player) {
  const track = make("input", { type: "range", class: "player__track", min: 0, max: 0, value: 0, "aria-label": text("player-track") })
  track.addEventListener("input", () => { player.pause(); player.seekFrame(Number(track.value)) })
  const play = makeButton(text("player-play"), () => player.toggle(), { class: "button" })
  const moment = document.createTextNode("")
  const count = make("span")
  const speeds = SPEEDS.map(([rate, sign]) => speedButton(player, rate, sign))
  const words = make("p", { role: "status", hidden: true })
  const bar = make("div", { class: "player__bar" }, words, track,
    make("div", { class: "player__buttons" },
      stepButton(player, -10, "−10"), stepButton(player, -1, "−1"), play, stepButton(player, 1, "+1"), stepButton(player, 10, "+10")),
    make("div", { class: "player__buttons" },
      make("div", { class: "player__speeds", role: "group", "aria-label": text("player-speed") }, ...speeds),
      make("p", { class: "player__where" }, moment, count)),
    make("p", { class: "player__keys" }, text("player-keys")))
  return {
    bar,
    say: (sentence) => { words.hidden = false; words.textContent = sentence },
    showPlaying: (isPlaying) => { play.textContent = text(isPlaying ? "player-pause" : "player-play") },
    showSpeed: (rate) => speeds.forEach((button) => button.setAttribute("aria-pressed", String(Number(button.value) === rate))),
    showFrame: (frame, seconds, total) => {
      Object.assign(track, { max: total - 1, value: frame })
      track.setAttribute("aria-valuetext", text("player-frame", { n: frame + 1, m: total }))
      moment.data = momentWords(seconds)
      count.textContent = text("player-frame", { n: frame + 1, m: total })
    },
  }
}

function stepButton(player, by, sign) {
  const label = text(by < 0 ? "player-back" : "player-forward", { n: Math.abs(by) })
  return makeButton(sign, () => player.step(by), { "aria-label": label })
}

function speedButton(player, rate, sign) {
  const label = text("player-speed-of", { rate })
  return makeButton(`${sign}×`, () => player.setSpeed(rate), { value: rate, "aria-label": label, "aria-pressed": String(rate === 1) })
}
