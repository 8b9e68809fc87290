// How one row of the training page shows the state of its entry.
import { make } from "elements"
import { text } from "texts"

const WORDS = { open: "", waiting: "log-waiting", stored: "log-saved", conflict: "log-conflict", refused: "log-refused", edited: "log-edited" }

export function paintRow(form, state, errors = {}) {
  form.dataset.state = state
  clearErrors(form)
  for (const [field, messages] of Object.entries(errors)) showErrors(form, field, messages)
  answerLine(form).textContent = WORDS[state] ? text(WORDS[state]) : ""
  paintButton(form, state)
}

export function refillRow(form, entry) {
  for (const input of form.elements) {
    if (!input.name || !(input.name in entry)) continue
    if (input.type === "radio" || input.type === "checkbox") input.checked = [entry[input.name]].flat().includes(input.value)
    else if (input.type !== "hidden") input.value = entry[input.name]
  }
}

function paintButton(form, state) {
  const button = form.querySelector("[type=submit], button:not([type])")
  if (!button) return
  button.dataset.label ??= button.textContent
  const again = { edited: "log-save-change", refused: "log-save-again", conflict: "log-save-again" }[state]
  button.textContent = again ? text(again) : button.dataset.label
  button.setAttribute("aria-disabled", String(state === "stored"))
}

function answerLine(form) {
  const line = form.querySelector(".set-row__answer")
  if (line) return line
  const made = make("p", { class: "set-row__answer", role: "status" })
  form.append(made)
  return made
}

function showErrors(form, field, messages) {
  const input = form.elements.namedItem(field)
  if (input instanceof HTMLElement) input.setAttribute("aria-invalid", "true")
  const label = input instanceof HTMLElement ? input.labels?.[0]?.firstElementChild?.textContent : ""
  form.append(make("p", { class: "field__error", "data-log-error": true }, [label, messages.join(" ")].filter(Boolean).join(": ")))
}

function clearErrors(form) {
  form.querySelectorAll("[data-log-error]").forEach((error) => error.remove())
  form.querySelectorAll("[aria-invalid]").forEach((input) => input.removeAttribute("aria-invalid"))
}
