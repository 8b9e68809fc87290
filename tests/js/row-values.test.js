import assert from "node:assert/strict"
import test from "node:test"

import { asCopy, asNext } from "../../static/js/row-values.js"

const ROW = { lineage: "x", ORDER: "3", movement: "Ring row", section: "strength", sets: "4", amount: "8-12", rir: "2", rpe: "", rest_s: "90", load: "20 kg", cue: "Long arms" }

test("a copy has everything but the lineage and the place", () => {
  const { lineage, ORDER, ...rest } = ROW
  assert.deepEqual(asCopy(ROW), rest)
  assert.ok(lineage && ORDER)
})

test("a next row has section and dose of the one above, and no movement, load or words", () => {
  assert.deepEqual(asNext(ROW), { section: "strength", sets: "4", amount: "8-12", rir: "2", rpe: "", rest_s: "90" })
})
