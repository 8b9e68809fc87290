// Which key does what in the session editor. `row` where the focus is in one.
const WITH_ALT = {
  Enter: { action: "add" },
  KeyC: { action: "copy", row: true },
  KeyX: { action: "cut", row: true },
  KeyV: { action: "paste" },
  KeyZ: { action: "undo" },
  KeyF: { action: "first" },
  KeyS: { action: "find" },
  KeyM: { action: "more", row: true },
  KeyP: { action: "join", row: true },
  Delete: { action: "remove", row: true },
}
const WITH_ALT_AND_SHIFT = {
  Enter: { action: "duplicate", row: true },
  KeyZ: { action: "redo" },
  ArrowUp: { action: "up", row: true },
  ArrowDown: { action: "down", row: true },
}

export function actionOf(event, { inRow }) {
  if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) return "save"
  if (!event.altKey || event.ctrlKey || event.metaKey) return ""
  // By its letter; by place where a layout writes another sign with Alt, or no Latin letters.
  const code = /^[a-z]$/i.test(event.key) ? `Key${event.key.toUpperCase()}` : event.code
  const known = (event.shiftKey ? WITH_ALT_AND_SHIFT : WITH_ALT)[code]
  return known && (inRow || !known.row) ? known.action : ""
}
