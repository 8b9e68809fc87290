import assert from "node:assert/strict"
import test from "node:test"

import { keyAction } from "../../static/js/player-keys.js"

for (const [event, action] of [
  [{ key: "ArrowLeft" }, { verb: "step", by: -1 }],
  [{ key: "ArrowRight", shiftKey: true }, { verb: "step", by: 10 }],
  [{ key: " " }, { verb: "toggle" }],
  [{ key: "Home" }, { verb: "first" }],
  [{ key: "End" }, { verb: "last" }],
  [{ key: "ArrowLeft", altKey: true }, null],
  [{ key: "x" }, null],
]) {
  test(`key ${JSON.stringify(event)} means ${JSON.stringify(action)}`, () => {
    assert.deepEqual(keyAction(event), action)
  })
}
