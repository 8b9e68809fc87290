import assert from "node:assert/strict"
import test from "node:test"

import { clipProblem, failureKey, fingerprintOf, mayNeedConverting, sizeWords } from "../../static/js/clip-check.js"

const clip = { name: "set.MOV", type: "video/quicktime", size: 1000, lastModified: 5 }

for (const [change, problem] of [
  [{}, null],
  [{ type: "" }, null],
  [{ name: "video", type: "video/mp4" }, null],
  [{ size: 0 }, "clip-empty"],
  [{ name: "notes.txt", type: "text/plain" }, "clip-kind"],
  [{ size: 500 * 1024 * 1024 }, null],
  [{ size: 500 * 1024 * 1024 + 1 }, "clip-large"],
]) {
  test(`a clip with ${JSON.stringify(change)} has the problem ${problem}`, () => {
    assert.equal(clipProblem({ ...clip, ...change }), problem)
  })
}

test("a limit of the server is obeyed", () => {
  assert.equal(clipProblem(clip, 999), "clip-large")
})

test("sizes read in kB below one MB, with one decimal below ten", () => {
  assert.deepEqual([1, 1024 * 1024, 5.25 * 1024 * 1024, 120.4 * 1024 * 1024].map(sizeWords), ["1 kB", "1.0 MB", "5.3 MB", "120 MB"])
})

test("clips in a phone's own container get the note on converting", () => {
  assert.deepEqual([clip, { name: "a.webm", type: "video/webm" }].map(mayNeedConverting), [true, false])
})

for (const [status, key] of [[undefined, "upload-no-network"], [0, "upload-no-network"], [403, "upload-sign-in"], [413, "clip-large"], [410, "upload-expired"], [507, "upload-full"], [500, "upload-failed"]]) {
  test(`a failure with status ${status} is explained by ${key}`, () => {
    assert.equal(failureKey(status), key)
  })
}

test("an unfinished upload is found again for the same file, purpose and person only", () => {
  const purpose = { scope: "one", endpoint: "/clips/", metadata: { movement: "row" } }
  const others = [{ ...purpose, scope: "two" }, { ...purpose, metadata: { movement: "dip" } }]

  assert.equal(fingerprintOf({ ...clip }, purpose), fingerprintOf(clip, { ...purpose }))
  assert.ok(others.every((other) => fingerprintOf(clip, other) !== fingerprintOf(clip, purpose)))
})
