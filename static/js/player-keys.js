// What a key means to the player. Keys typed into a text input or pressed with a modifier mean nothing here.
const TYPING = "textarea, select, [contenteditable], input:not([type=radio], [type=checkbox], [type=button], [type=submit])"

export function keyAction({ key, shiftKey, ctrlKey, altKey, metaKey }) {
  if (ctrlKey || altKey || metaKey) return null
  const steps = shiftKey ? 10 : 1
  return {
    ArrowLeft: { verb: "step", by: -steps },
    ArrowRight: { verb: "step", by: steps },
    Home: { verb: "first" },
    End: { verb: "last" },
    " ": { verb: "toggle" },
  }[key] ?? null
}

// Space on a button or an arrow on a radio is theirs; our own track keeps to frames.
export function isForPlayer(event) {
  const { target } = event
  if (target.matches?.(".player__track")) return true
  if (target.closest?.(TYPING)) return false
  if (event.key === " ") return !target.closest?.("button, a, summary, input, label")
  return !target.closest?.("[type=radio], [role=tablist]")
}
