// The page's import map, its texts and its style sheets are written by hand: these hold them to the files.
import assert from "node:assert/strict"
import { readFileSync, readdirSync } from "node:fs"
import test from "node:test"

import { fill } from "../../static/js/texts.js"

const root = new URL("../../", import.meta.url)
const read = (path) => readFileSync(new URL(path, root), "utf8")
const scripts = readdirSync(new URL("static/js/", root)).filter((name) => name.endsWith(".js"))
const sources = scripts.map((name) => read(`static/js/${name}`)).join("\n")
const texts = new Map([...read("templates/_texts.html").matchAll(/data-text="([\w-]+)">\{% translate "(.*)" %\}/g)].map(([, key, words]) => [key, words]))

test("every bare import is in the import map", () => {
  const imported = new Set([...sources.matchAll(/from "([\w-]+)"/g)].map(([, name]) => name))
  const mapped = new Set([...read("templates/_import_map.html").matchAll(/^ {2}"([\w-]+)":/gm)].map(([, name]) => name))

  assert.deepEqual([...imported].filter((name) => !mapped.has(name)), [])
})

test("the import map names only files that exist", () => {
  const mapped = [...read("templates/_import_map.html").matchAll(/static 'js\/([\w-]+\.js)'/g)].map(([, name]) => name)

  assert.deepEqual(mapped.filter((name) => !scripts.includes(name)), [])
})

test("the import map of public pages has what their modules and those behind them import", () => {
  const mapped = new Set([...read("templates/_public_imports.html").matchAll(/^ {2}"([\w-]+)": "\{% static 'js\/\1\.js' %\}"/gm)].map(([, name]) => name))
  const loaded = [...read("templates/programs/public_session.html").matchAll(/static 'js\/([\w-]+)\.js'/g)].map(([, name]) => name)
  const imported = [...loaded, ...mapped].flatMap((name) => [...read(`static/js/${name}.js`).matchAll(/from "([\w-]+)"/g)].map(([, bare]) => bare))

  assert.ok(loaded.length > 0)
  assert.deepEqual(imported.filter((name) => !mapped.has(name)), [])
})

test("every text a module asks for is on the page", () => {
  const asked = new Set([...sources.matchAll(/text\("([\w-]+)"/g)].map(([, key]) => key))

  assert.deepEqual([...asked].filter((key) => !texts.has(key)), [])
})

test("every text that is chosen by a table is on the page", () => {
  const names = new Set([...scripts.map((name) => name.replace(".js", "")), "log-state", "clip-uploaded"])
  const chosen = [...sources.matchAll(/"((?:log|clip|upload)-[\w-]+)"/g)].map(([, key]) => key)

  assert.deepEqual(chosen.filter((key) => !names.has(key) && !texts.has(key)), [])
})

test("every text on the page is asked for by a module", () => {
  const dynamic = /^log-trouble-(again|sign-in|stuck)$/

  assert.deepEqual([...texts.keys()].filter((key) => !sources.includes(`"${key}"`) && !dynamic.test(key)), [])
})

test("every style sheet is on the page, and tokens with the layers come first", () => {
  const linked = [...read("templates/_styles.html").matchAll(/css\/([\w-]+\.css)/g)].map(([, name]) => name)

  assert.deepEqual(new Set(linked), new Set(readdirSync(new URL("static/css/", root))))
  assert.equal(linked[0], "tokens.css")
})

test("no shared template carries an inline style or handler", () => {
  const templates = readdirSync(new URL("templates/", root)).filter((name) => name.endsWith(".html"))

  assert.deepEqual(templates.filter((name) => /<[^>]+\s(style|on\w+)=/i.test(read(`templates/${name}`))), [])
})

test("every icon that a template names is drawn", () => {
  const drawn = new Set([...read("static/img/icons.svg").matchAll(/<symbol id="([\w-]+)"/g)].map(([, id]) => id))
  const templates = readdirSync(new URL("templates/", root), { recursive: true }).filter((name) => name.endsWith(".html"))
  const named = templates.flatMap((name) => [...read(`templates/${name}`).matchAll(/_icon\.html" with name="([\w-]+)"/g)].map(([, icon]) => icon))

  assert.deepEqual(named.filter((icon) => !drawn.has(icon)), [])
})

test("a sentence takes its values and leaves unknown ones standing", () => {
  assert.equal(fill("{n} of {m}, {x}", { n: 1, m: 0 }), "1 of 0, {x}")
})
