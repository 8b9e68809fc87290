// One copied row, kept for this tab: it can be pasted into another session or block.
const KEY = "copied-row"

export function keepCopy(values, storage = sessionStorage) {
  try { storage.setItem(KEY, JSON.stringify(values)) } catch { /* full or forbidden: nothing to paste then */ }
}

export function copied(storage = sessionStorage) {
  try { return JSON.parse(storage.getItem(KEY)) } catch { return null }
}
