// Frames by their presentation times, in seconds, ascending. Index arithmetic with a frame rate fails on phone clips,
// whose frames are unevenly spaced.
export function parseTimes(list, timebase = 90000) {
  if (!Array.isArray(list) || list.length === 0) throw new TypeError("no frame times")
  const times = list.map((units) => units / timebase)
  if (times.some((time, index) => !Number.isFinite(time) || (index > 0 && time <= times[index - 1]))) {
    throw new TypeError("frame times must rise")
  }
  return times
}

// The frame on show at a time: the last one that has begun. The half millisecond covers the browser's rounding.
export function frameAt(times, seconds) {
  let [low, high] = [0, times.length - 1]
  while (low < high) {
    const middle = Math.ceil((low + high) / 2)
    if (times[middle] <= seconds + 0.0005) low = middle
    else high = middle - 1
  }
  return low
}

// Seeking to a frame's own time may show the one before (times are rounded); its middle cannot.
export function midFrameTime(times, index) {
  const frame = clampFrame(times, index)
  const next = times[frame + 1] ?? times[frame] + lastDuration(times)
  return (times[frame] + next) / 2
}

// Another time within the same frame, three quarters through it.
export function nudgedTime(times, index) {
  return (midFrameTime(times, index) * 3 - times[clampFrame(times, index)]) / 2
}

export function clampFrame(times, index) {
  return Math.min(times.length - 1, Math.max(0, Math.round(index)))
}

function lastDuration(times) {
  return times.length > 1 ? times.at(-1) - times.at(-2) : 1 / 30
}

export function momentWords(seconds) {
  const whole = Math.floor(seconds / 60)
  return `${whole}:${(seconds - whole * 60).toFixed(2).padStart(5, "0")}`
}
