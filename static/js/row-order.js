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

// "opens" for a row bracketed with the next one, "closes" for that one, "" for a row alone.
export function bracketOf(paired, index) {
  let open = false
  for (let at = 0; at <= index; at += 1) {
    if (open) {
      open = false
      if (at === index) return "closes"
    } else {
      open = paired[at] && at + 1 < paired.length
      if (at === index) return open ? "opens" : ""
    }
  }
  return ""
}
