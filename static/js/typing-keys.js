// Where Alt with a letter types a sign of its own (on Apple's keyboards), a field is for typing.
const FIELDS = "input, select, textarea, [contenteditable]"

export function typesItself({ altKey, code }, target, platform = globalThis.navigator?.platform ?? "") {
  return altKey && /^Key/.test(code) && /^(Mac|iP)/.test(platform) && Boolean(target?.matches?.(FIELDS))
}
