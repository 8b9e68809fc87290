import assert from "node:assert/strict"
import { test } from "node:test"

import { answerOf, creationFrom, requestFrom, toBytes, toText } from "../../static/js/passkey-json.js"

test("bytes come back as they were, whatever their number", () => {
  for (let length = 0; length < 70; length += 1) {
    const bytes = Uint8Array.from({ length }, (_, index) => (index * 37 + 250) % 256)
    assert.deepEqual(toBytes(toText(bytes)), bytes)
  }
})

test("text has no characters that an address or a form would change", () => {
  assert.equal(toText(Uint8Array.of(251, 255, 254, 0)), "-__-AA")
})

test("a new passkey has to live on the device and check its user", () => {
  const asked = creationFrom({ publicKey: { challenge: "AQI", user: { id: "Aw", name: "a" }, authenticatorSelection: { residentKey: "discouraged" } } })

  assert.deepEqual(asked.authenticatorSelection, { residentKey: "required", requireResidentKey: true, userVerification: "required" })
  assert.deepEqual(asked.excludeCredentials, [])
})

test("known keys are asked for by their bytes", () => {
  const asked = requestFrom({ publicKey: { challenge: "AQI", allowCredentials: [{ type: "public-key", id: "BA" }] } })

  assert.deepEqual(asked.allowCredentials, [{ type: "public-key", id: Uint8Array.of(4) }])
})

test("an answer carries what the device said, and nothing it did not say", () => {
  const answer = answerOf({
    type: "public-key", id: "BA", rawId: Uint8Array.of(4).buffer, getClientExtensionResults: () => ({}),
    response: { clientDataJSON: Uint8Array.of(1).buffer, signature: Uint8Array.of(2).buffer, userHandle: null },
  })

  assert.deepEqual(answer.response, { clientDataJSON: "AQ", signature: "Ag" })
})
