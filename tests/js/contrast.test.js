// Contrast ratio and relative luminance: WCAG 2.2, "contrast ratio" and "relative luminance" (definitions), from memory.
import assert from "node:assert/strict"
import { readFileSync, readdirSync } from "node:fs"
import test from "node:test"

const folder = new URL("../../static/css/", import.meta.url)
const tokens = readFileSync(new URL("tokens.css", folder), "utf8")

function declarations(css) {
  return new Map([...css.matchAll(/(--[\w-]+):\s*([^;]+);/g)].map(([, name, value]) => [name, value.trim()]))
}

const [daylight, night, paper] = tokens.split(/@media (?:\(prefers-color-scheme: dark\)|print)/)
const themes = {
  light: declarations(daylight),
  dark: new Map([...declarations(daylight), ...declarations(night)]),
  // Printed from a dark screen, too.
  paper: new Map([...declarations(daylight), ...declarations(night), ...declarations(paper)]),
}

function hexOf(theme, name) {
  const value = theme.get(name)
  const reference = value?.match(/^var\((--[\w-]+)\)$/)
  return reference ? hexOf(theme, reference[1]) : value
}

function luminance(hex) {
  const channels = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16) / 255)
  const [red, green, blue] = channels.map((channel) => (channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4))
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

function contrast(one, other) {
  const [dark, light] = [luminance(one), luminance(other)].sort((a, b) => a - b)
  return (light + 0.05) / (dark + 0.05)
}

const pairs = [...tokens.matchAll(/pair: (--[\w-]+) on (--[\w-]+) ([\d.]+)/g)].map(([, ink, ground, least]) => ({ ink, ground, least: Number(least) }))

test("black on white has a contrast of 21 to 1", () => {
  assert.equal(contrast("#000000", "#ffffff"), 21)
})

test("the darkest grey on white that passes 4.5 to 1 is #767676", () => {
  assert.ok(contrast("#767676", "#ffffff") >= 4.5 && contrast("#777777", "#ffffff") < 4.5)
})

for (const [name, theme] of Object.entries(themes)) {
  for (const { ink, ground, least } of pairs) {
    test(`${name}: ${ink} on ${ground} reaches ${least}`, () => {
      const ratio = contrast(hexOf(theme, ink), hexOf(theme, ground))

      assert.ok(ratio >= least, `${ratio.toFixed(2)} is below ${least}`)
    })
  }
}

test("every colour that text or an edge may take stands in a pair", () => {
  const surfaces = new Set(["--color-line", "--color-stage", "--color-shade"])
  const paired = new Set(pairs.flatMap(({ ink, ground }) => [ink, ground]))
  const colours = [...themes.light.keys()].filter((name) => name.startsWith("--color-") && !surfaces.has(name))

  assert.deepEqual(colours.filter((name) => !paired.has(name)), [])
})

test("the dark theme gives every meaning that the light theme takes from a light raw value", () => {
  const kept = new Set(["--color-stage"])
  const meanings = [...declarations(daylight).keys()].filter((name) => name.startsWith("--color-") && !kept.has(name))

  assert.deepEqual(meanings.filter((name) => !declarations(night).has(name)), [])
})

test("colours stand in tokens.css only", () => {
  const others = readdirSync(folder).filter((name) => name.endsWith(".css") && name !== "tokens.css")
  const coloured = others.filter((name) => /#[0-9a-f]{3,8}\b|\b(rgb|hsl|oklch|lab)a?\(/i.test(readFileSync(new URL(name, folder), "utf8")))

  assert.deepEqual(coloured, [])
})

test("components only use tokens that exist", () => {
  const own = /--(badge|button|panel|notice|stack|choice|builder)-/
  const sheets = readdirSync(folder).map((name) => readFileSync(new URL(name, folder), "utf8")).join("\n")
  const used = new Set([...sheets.matchAll(/var\((--[\w-]+)/g)].map(([, name]) => name))

  assert.deepEqual([...used].filter((name) => !themes.light.has(name) && !own.test(name)), [])
})
