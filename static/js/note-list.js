// Notes at moments as plain data: {frame, at_s, text}, ordered by frame.
export function parseNotes(json) {
  const notes = json ? JSON.parse(json) : []
  if (!Array.isArray(notes)) throw new TypeError("notes must be a list")
  return inOrder(notes)
}

export function addNote(notes, { frame, seconds, text }) {
  const words = text.trim()
  return words ? inOrder([...notes, { frame, at_s: seconds.toFixed(3), text: words }]) : notes
}

// Everything else a note carries (a drawing) stays as it was.
export function changeNote(notes, note, text) {
  const words = text.trim()
  return words ? notes.map((other) => (other === note ? { ...note, text: words } : other)) : removeNote(notes, note)
}

export function removeNote(notes, note) {
  return notes.filter((other) => other !== note)
}

// The note to mark while the clip stands at a frame: the last one begun.
export function noteAtFrame(notes, frame) {
  return notes.findLast((note) => note.frame <= frame) ?? null
}

function inOrder(notes) {
  return [...notes].sort((one, other) => one.frame - other.frame)
}
