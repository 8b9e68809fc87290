// Translated texts wait in the page's <template id="texts">; `{name}` takes a value.
export function fill(sentence, values = {}) {
  return sentence.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole))
}

export function text(key, values) {
  const entry = document.getElementById("texts")?.content.querySelector(`[data-text="${key}"]`)
  return fill(entry ? entry.textContent : key, values)
}
