// A countdown that keeps the moment of its end, so that a sleeping tab cannot slow it down. Times in milliseconds.
export function startCountdown(seconds, now) {
  return { total: seconds, endsAt: now + seconds * 1000 }
}

export function secondsLeft(countdown, now) {
  return Math.max(0, Math.ceil((countdown.endsAt - now) / 1000))
}

export function isOver(countdown, now) {
  return now >= countdown.endsAt
}

// Never ends in the past: taking 15 s off the last 10 s ends it now.
export function adjustCountdown(countdown, seconds, now) {
  const endsAt = Math.max(now, countdown.endsAt + seconds * 1000)
  return { total: Math.max(0, countdown.total + seconds), endsAt }
}

// A hold: a lead of a few seconds, then whole seconds held since.
export function holdAt(startedAt, lead, now) {
  const elapsed = (now - startedAt) / 1000 - lead
  return elapsed < 0 ? { phase: "lead", seconds: Math.ceil(-elapsed) } : { phase: "hold", seconds: Math.floor(elapsed) }
}

export function clockFace(seconds) {
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`
}

// What is said aloud: the start, ten seconds before the end, the end. Not every second.
export function worthSaying(before, left) {
  if (left === 0 && before > 0) return "over"
  return before > 10 && left <= 10 && left > 0 ? "soon" : null
}

// Where an interval clock stands: the round (from 1) and the seconds left of it; the last one ends the clock.
export function intervalAt(startedAt, interval, rounds, now) {
  const elapsed = Math.max(0, now - startedAt) / 1000
  const round = Math.floor(elapsed / interval) + 1
  return round > rounds ? { round: rounds, left: 0, isOver: true } : { round, left: Math.ceil(round * interval - elapsed), isOver: false }
}
