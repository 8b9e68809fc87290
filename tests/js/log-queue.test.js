import assert from "node:assert/strict"
import test from "node:test"

import { addEntry, applyAnswers, emptyQueue, lastOfRow, nextBatch, outcomeOf, parseQueue, secondsBeforeRetry } from "../../static/js/log-queue.js"

const queueOf = (...entries) => entries.reduce((queue, { row = "a", ...entry }) => addEntry(queue, row, entry), emptyQueue())
const uuids = (queue) => queue.waiting.map(({ entry }) => entry.uuid)

for (const status of ["stored", "already_stored", "conflict"]) {
  test(`an entry answered "${status}" leaves the queue`, () => {
    const queue = applyAnswers(queueOf({ uuid: "1" }), [{ uuid: "1", status }])

    assert.deepEqual(queue, emptyQueue())
  })
}

test("an entry without an answer stays", () => {
  const queue = applyAnswers(queueOf({ uuid: "1" }, { uuid: "2", row: "b" }), [{ uuid: "2", status: "stored" }])

  assert.deepEqual(uuids(queue), ["1"])
})

test("an answer we do not know settles nothing", () => {
  const queue = applyAnswers(queueOf({ uuid: "1" }), [{ uuid: "1", status: "perhaps" }])

  assert.deepEqual(uuids(queue), ["1"])
})

test("an answer for an entry of another queue changes nothing", () => {
  const queue = queueOf({ uuid: "1" })

  assert.deepEqual(applyAnswers(queue, [{ uuid: "9", status: "stored" }]), queue)
})

test("a refused entry leaves the queue and is kept with its reason", () => {
  const queue = applyAnswers(queueOf({ uuid: "1" }), [{ uuid: "1", status: "refused", errors: { repetitions: ["Too many."] } }])

  assert.deepEqual(queue, { waiting: [], refused: [{ row: "a", entry: { uuid: "1" }, errors: { repetitions: ["Too many."] } }] })
})

test("a new entry for a row takes its refusal away, and no other", () => {
  const refused = [{ uuid: "1", status: "refused" }, { uuid: "2", status: "refused" }]
  const queue = applyAnswers(queueOf({ uuid: "1" }, { uuid: "2", row: "b" }), refused)

  assert.deepEqual(addEntry(queue, "a", { uuid: "3" }).refused.map(({ row }) => row), ["b"])
})

test("a refusal is not shown when a correction of the row is on its way", () => {
  const queue = applyAnswers(queueOf({ uuid: "1" }, { uuid: "2", replaces: "1" }), [{ uuid: "1", status: "refused" }])

  assert.deepEqual(queue.refused, [])
})

test("a correction of a refused first entry replaces nothing", () => {
  const queue = applyAnswers(queueOf({ uuid: "1" }, { uuid: "2", replaces: "1" }), [{ uuid: "1", status: "refused" }])

  assert.deepEqual(queue.waiting, [{ row: "a", entry: { uuid: "2" } }])
})

test("a correction of a refused correction replaces what that one meant to replace", () => {
  const queue = queueOf({ uuid: "2", replaces: "1" }, { uuid: "3", replaces: "2" })

  assert.equal(applyAnswers(queue, [{ uuid: "2", status: "refused" }]).waiting[0].entry.replaces, "1")
})

test("a batch keeps the order of entry", () => {
  assert.deepEqual(nextBatch(queueOf({ uuid: "1" }, { uuid: "2", row: "b" })).map(({ uuid }) => uuid), ["1", "2"])
})

test("a correction waits until what it replaces was answered for", () => {
  const queue = queueOf({ uuid: "1" }, { uuid: "2", replaces: "1" }, { uuid: "3", replaces: "2" })

  assert.deepEqual(nextBatch(queue).map(({ uuid }) => uuid), ["1"])
})

test("a correction of what was stored long ago goes at once", () => {
  assert.equal(nextBatch(queueOf({ uuid: "2", replaces: "stored-before" })).length, 1)
})

test("a batch is never larger than its limit", () => {
  const queue = queueOf(...Array.from({ length: 60 }, (_, index) => ({ uuid: String(index), row: String(index) })))

  assert.equal(nextBatch(queue).length, 50)
})

test("the last entry of a row is the one a correction replaces", () => {
  assert.equal(lastOfRow(queueOf({ uuid: "1" }, { uuid: "2", replaces: "1" }, { uuid: "3", row: "b" }), "a").uuid, "2")
})

test("a row without waiting entries has no last one", () => {
  assert.equal(lastOfRow(emptyQueue(), "a"), null)
})

test("nothing stored is an empty queue", () => {
  assert.deepEqual(parseQueue(null), emptyQueue())
})

test("a queue survives being written down", () => {
  const queue = queueOf({ uuid: "1", repetitions: "8" })

  assert.deepEqual(parseQueue(JSON.stringify(queue)), queue)
})

for (const broken of ["{", "[]", "null", '{"waiting": {}}']) {
  test(`an unreadable queue ${broken} is refused, not taken for an empty one`, () => {
    assert.throws(() => parseQueue(broken))
  })
}

test("waiting between tries doubles from 2 seconds and ends at 300", () => {
  assert.deepEqual([0, 1, 2, 7, 8, 30].map((attempt) => secondsBeforeRetry(attempt, () => 0)), [2, 4, 8, 256, 300, 300])
})

test("a try is early by half of the wait at most", () => {
  assert.equal(secondsBeforeRetry(2, () => 1), 4)
})

for (const [answer, outcome] of [
  [{ status: 200 }, "answered"],
  [{ status: 200, redirected: true }, "sign-in"],
  [{ status: 401 }, "sign-in"],
  [{ status: 403 }, "sign-in"],
  [{ status: 400 }, "stuck"],
  [{ status: 413 }, "stuck"],
  [{ status: 408 }, "again"],
  [{ status: 429 }, "again"],
  [{ status: 503 }, "again"],
]) {
  test(`an answer ${JSON.stringify(answer)} means "${outcome}"`, () => {
    assert.equal(outcomeOf(answer), outcome)
  })
}
