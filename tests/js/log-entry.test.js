import assert from "node:assert/strict"
import { webcrypto } from "node:crypto"
import test from "node:test"

import { buildEntry, deviceTime, fieldValues, makeUuid } from "../../static/js/log-entry.js"

const VERSION_4 = /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/

test("a uuid made without a secure context is a random one of version 4", () => {
  assert.match(makeUuid({ getRandomValues: (bytes) => webcrypto.getRandomValues(bytes) }), VERSION_4)
})

test("version and variant are set whatever the random bytes are", () => {
  assert.equal(makeUuid({ getRandomValues: (bytes) => bytes.fill(255) }), "ffffffff-ffff-4fff-bfff-ffffffffffff")
})

test("a uuid of the browser is taken as it is", () => {
  assert.equal(makeUuid({ randomUUID: () => "from-browser" }), "from-browser")
})

test("device time carries the local date west of Greenwich", () => {
  assert.equal(deviceTime(new Date("2026-03-01T02:30:00Z"), -210), "2026-02-28T23:00:00-03:30")
})

test("device time carries the local date east of Greenwich", () => {
  assert.equal(deviceTime(new Date("2026-03-01T23:30:00Z"), 345), "2026-03-02T05:15:00+05:45")
})

test("values stay as typed but for spaces around them, and empty ones are left out", () => {
  assert.deepEqual(fieldValues([["repetitions", " 8 "], ["load_entered", "7,5"], ["rir", " "]]), { repetitions: "8", load_entered: "7,5" })
})

test("the token of the form and its files are never part of an entry", () => {
  assert.deepEqual(fieldValues([["csrfmiddlewaretoken", "secret"], ["clip", { size: 3 }]]), {})
})

test("one tick of a list is still a list", () => {
  assert.deepEqual(fieldValues([["areas", "knee"]], new Set(["areas"])), { areas: ["knee"] })
})

const made = { uuid: "1", deviceAt: "2026-03-01T08:00:00+00:00", timeZone: "Europe/Lisbon" }

test("an entry holds what the page knows, what was typed, and what the device knows", () => {
  assert.deepEqual(buildEntry({ kind: "set", number: 2 }, { repetitions: "8" }, made), {
    kind: "set", number: 2, repetitions: "8", uuid: "1", device_at: "2026-03-01T08:00:00+00:00", time_zone: "Europe/Lisbon",
  })
})

test("an edit names the entry it replaces", () => {
  assert.equal(buildEntry({}, {}, { ...made, replaces: "0" }).replaces, "0")
})

test("a first entry names none", () => {
  assert.equal("replaces" in buildEntry({}, {}, made), false)
})
