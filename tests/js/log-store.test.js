import assert from "node:assert/strict"
import test from "node:test"

import "./bare-names.js"

const { addEntry, emptyQueue } = await import("../../static/js/log-queue.js")
const { LogStore } = await import("../../static/js/log-store.js")

function fakeStorage(content = {}) {
  const items = new Map(Object.entries(content))
  return { items, getItem: (name) => items.get(name) ?? null, setItem: (name, value) => items.set(name, value) }
}

const fullStorage = { getItem: () => null, setItem: () => { throw new Error("quota") } }
const add = (uuid) => (queue) => addEntry(queue, "a", { uuid })

test("what was added is there after a reload", () => {
  const storage = fakeStorage()
  new LogStore("q", storage).change(add("1"))

  assert.equal(new LogStore("q", storage).read().waiting[0].entry.uuid, "1")
})

test("an entry that another tab added meanwhile is kept", () => {
  const storage = fakeStorage()
  const [one, other] = [new LogStore("q", storage), new LogStore("q", storage)]
  one.change(add("1"))
  other.change(add("2"))

  assert.deepEqual(one.read().waiting.map(({ entry }) => entry.uuid), ["1", "2"])
})

test("queues of two people on one phone do not mix", () => {
  const storage = fakeStorage()
  new LogStore("one", storage).change(add("1"))

  assert.deepEqual(new LogStore("other", storage).read(), emptyQueue())
})

test("full storage keeps the entries in memory and says so", (context) => {
  context.mock.method(console, "warn", () => {})
  const store = new LogStore("q", fullStorage)
  store.change(add("1"))
  store.change(add("2"))

  assert.deepEqual([store.isKept, store.read().waiting.length], [false, 2])
})

test("an unreadable queue is set aside, not lost", (context) => {
  context.mock.method(console, "warn", () => {})
  const storage = fakeStorage({ q: "{broken" })
  const store = new LogStore("q", storage)
  store.read()

  assert.deepEqual([store.hadUnreadable, storage.items.get("q:unreadable")], [true, "{broken"])
})
