import assert from "node:assert/strict"
import test from "node:test"

import { clampFrame, frameAt, midFrameTime, momentWords, nudgedTime, parseTimes } from "../../static/js/frame-times.js"

// Unevenly spaced, with a gap, as phones write them.
const times = parseTimes([0, 3000, 4500, 27_000, 28_500])

test("times are units of the time base", () => {
  assert.deepEqual(parseTimes([0, 1500, 3000], 3000), [0, 0.5, 1])
})

test("the time base is 90000 unless said", () => {
  assert.deepEqual(parseTimes([0, 90_000]), [0, 1])
})

for (const bad of [[], {}, null, [0, 0], [3000, 1500], [0, "x"]]) {
  test(`times ${JSON.stringify(bad)} are refused`, () => {
    assert.throws(() => parseTimes(bad), TypeError)
  })
}

test("every frame is found again at its middle", () => {
  assert.deepEqual(times.map((_, index) => frameAt(times, midFrameTime(times, index))), [0, 1, 2, 3, 4])
})

test("every frame is found at its own time, also when rounded down to a microsecond", () => {
  const rounded = times.map((time) => Math.floor(time * 1e6) / 1e6)

  assert.deepEqual(rounded.map((time) => frameAt(times, time)), [0, 1, 2, 3, 4])
})

test("inside a gap the frame before it is on show", () => {
  assert.equal(frameAt(times, 0.2), 2)
})

test("before the first frame and after the last one the ends are on show", () => {
  assert.deepEqual([frameAt(times, -1), frameAt(times, 99)], [0, 4])
})

test("the last frame lasts as long as the one before it", () => {
  assert.equal(midFrameTime([0, 1, 1.5], 2), 1.75)
})

test("a clip of one frame has a middle behind its start", () => {
  assert.ok(midFrameTime([0], 0) > 0)
})

test("the middle lies strictly inside the frame for 600 frames with 4 ms of jitter", () => {
  let seed = 7
  const jitter = () => { seed = (seed * 16807) % 2147483647; return seed / 2147483647 - 0.5 }
  const phone = Array.from({ length: 600 }, (_, index) => index / 60 + 0.008 * jitter() + 0.01)
  const inside = phone.every((time, index) => midFrameTime(phone, index) > time && midFrameTime(phone, index) < (phone[index + 1] ?? Infinity))

  assert.ok(inside)
})

test("a nudged time is later than the middle and still in the frame", () => {
  assert.deepEqual(times.map((_, index) => frameAt(times, nudgedTime(times, index))), [0, 1, 2, 3, 4])
  assert.ok(times.every((_, index) => nudgedTime(times, index) > midFrameTime(times, index)))
})

test("indexes are kept within the clip", () => {
  assert.deepEqual([-3, 2, 99].map((index) => clampFrame(times, index)), [0, 2, 4])
})

test("a moment reads as minutes, seconds and hundredths", () => {
  assert.deepEqual([0, 4.2, 65.25].map(momentWords), ["0:00.00", "0:04.20", "1:05.25"])
})
