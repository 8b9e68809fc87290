// The order of rows: where one lands, and what each is called in the form.
export function moved(items, from, by) {
  const to = from + by
  if (from < 0 || to < 0 || to >= items.length) return items
  const next = [...items]
  next.splice(to, 0, ...next.splice(from, 1))
  return next
}

export function withIndex(html, prefix, index) {
  return html.replaceAll(`${prefix}-__prefix__-`, `${prefix}-${index}-`)
}

// The lowest number that no row has: a form takes only so many.
export function freeNumber(names) {
  const taken = new Set(names.map((name) => Number(name.match(/-(\d+)-/)?.[1])))
  let number = 0
  while (taken.has(number)) number += 1
  return number
}

// Whether a row opens a bracket, stands within one, closes it, or stands alone ("").
export function bracketOf(joined, index) {
  const joinsNext = joined[index] && index + 1 < joined.length
  const isJoined = index > 0 && joined[index - 1]
  if (isJoined) return joinsNext ? "within" : "closes"
  return joinsNext ? "opens" : ""
}
