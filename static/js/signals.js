// Ways to be noticed across a room. Both may be missing: a phone on silent, a desktop without a motor.
export function vibrate(pattern) {
  return typeof navigator.vibrate === "function" && navigator.vibrate(pattern)
}

let audio

// To be called in a tap: browsers only let a page make a sound after one.
export function readySound() {
  if (typeof AudioContext !== "function") return false
  audio ??= new AudioContext()
  audio.resume()
  return true
}

export function beep({ pitch = 660, seconds = 0.25 } = {}) {
  if (audio?.state !== "running") return false
  const tone = audio.createOscillator()
  const level = audio.createGain()
  tone.frequency.value = pitch
  level.gain.setValueAtTime(0.2, audio.currentTime)
  level.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + seconds)
  tone.connect(level).connect(audio.destination)
  tone.start()
  tone.stop(audio.currentTime + seconds)
  return true
}
