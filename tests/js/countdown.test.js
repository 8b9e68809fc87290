import assert from "node:assert/strict"
import test from "node:test"

import { adjustCountdown, clockFace, holdAt, intervalAt, isOver, secondsLeft, startCountdown, worthSaying } from "../../static/js/countdown.js"

const rest = startCountdown(90, 1000)

test("a countdown starts at its full length", () => {
  assert.equal(secondsLeft(rest, 1000), 90)
})

test("a tab that slept for a minute shows what is really left", () => {
  assert.equal(secondsLeft(rest, 61_000), 30)
})

test("a started second counts as a whole one, so that zero means over", () => {
  assert.deepEqual([secondsLeft(rest, 90_999), isOver(rest, 90_999)], [1, false])
})

test("a countdown is over at its end and never shows less than zero", () => {
  assert.deepEqual([isOver(rest, 91_000), secondsLeft(rest, 500_000)], [true, 0])
})

test("15 seconds more move the end", () => {
  assert.equal(secondsLeft(adjustCountdown(rest, 15, 31_000), 31_000), 75)
})

test("15 seconds less with 10 left ends it now", () => {
  assert.equal(isOver(adjustCountdown(rest, -15, 81_000), 81_000), true)
})

test("what was taken off beyond the end is not owed later", () => {
  const ended = adjustCountdown(rest, -15, 81_000)

  assert.equal(secondsLeft(adjustCountdown(ended, 15, 81_000), 81_000), 15)
})

for (const [before, left, said] of [[30, 29, null], [11, 10, "soon"], [45, 4, "soon"], [10, 9, null], [1, 0, "over"], [60, 0, "over"], [0, 0, null]]) {
  test(`going from ${before} to ${left} seconds says ${said}`, () => {
    assert.equal(worthSaying(before, left), said)
  })
}

for (const [now, phase, seconds] of [[0, "lead", 3], [2100, "lead", 1], [3000, "hold", 0], [32_900, "hold", 29], [33_000, "hold", 30]]) {
  test(`${now} ms after the tap a hold with a lead of 3 s is at ${phase} ${seconds}`, () => {
    assert.deepEqual(holdAt(0, 3, now), { phase, seconds })
  })
}

test("a clock face has minutes and two digits of seconds", () => {
  assert.deepEqual([0, 9, 75, 600].map(clockFace), ["0:00", "0:09", "1:15", "10:00"])
})

test("an interval clock names its round and what is left of it", () => {
  assert.deepEqual(intervalAt(0, 60, 3, 0), { round: 1, left: 60, isOver: false })
  assert.deepEqual(intervalAt(0, 60, 3, 59_500), { round: 1, left: 1, isOver: false })
  assert.deepEqual(intervalAt(0, 60, 3, 60_000), { round: 2, left: 60, isOver: false })
  assert.deepEqual(intervalAt(0, 60, 3, 180_000), { round: 3, left: 0, isOver: true })
})
