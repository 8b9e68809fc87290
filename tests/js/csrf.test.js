import assert from "node:assert/strict"
import test from "node:test"

import { cookieValue } from "../../static/js/csrf.js"

test("a cookie is found among others by its whole name", () => {
  assert.equal(cookieValue("xcsrftoken=no; csrftoken=yes; theme=dark", "csrftoken"), "yes")
})

test("a missing cookie is nothing", () => {
  assert.equal(cookieValue("", "csrftoken"), null)
})
