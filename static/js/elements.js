// Small makers of elements: children may be nodes or strings, attributes with `false` or `null` are left out.
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag)
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value === true ? "" : value)
  }
  element.append(...children)
  return element
}

export function makeButton(label, onClick, attributes = {}) {
  const button = make("button", { type: "button", class: "button button--quiet", ...attributes }, label)
  button.addEventListener("click", onClick)
  return button
}
