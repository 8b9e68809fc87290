// Making one log entry out of a form.
const BYTE_HEX = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, "0"))

// randomUUID exists in secure contexts only; a phone on the coach's local network has none.
export function makeUuid(source = globalThis.crypto) {
  if (typeof source.randomUUID === "function") return source.randomUUID()
  const bytes = source.getRandomValues(new Uint8Array(16))
  bytes[6] = (bytes[6] & 0x0f) | 0x40
  bytes[8] = (bytes[8] & 0x3f) | 0x80
  const hex = Array.from(bytes, (byte) => BYTE_HEX[byte]).join("")
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-")
}

// The device's own clock with its offset from UTC: the training day is the local date.
export function deviceTime(date, offsetMinutes = -date.getTimezoneOffset()) {
  const local = new Date(date.getTime() + offsetMinutes * 60_000).toISOString().slice(0, 19)
  const [hours, minutes] = [Math.trunc(Math.abs(offsetMinutes) / 60), Math.abs(offsetMinutes) % 60]
  const pad = (number) => String(number).padStart(2, "0")
  return `${local}${offsetMinutes < 0 ? "-" : "+"}${pad(hours)}:${pad(minutes)}`
}

const LEFT_OUT = new Set(["csrfmiddlewaretoken"])

// Pairs of name and value as typed. Names in `lists` become lists; empty values and files are left out.
export function fieldValues(pairs, lists = new Set()) {
  const values = {}
  for (const [name, value] of pairs) {
    if (LEFT_OUT.has(name) || typeof value !== "string" || value.trim() === "") continue
    if (lists.has(name)) (values[name] ??= []).push(value)
    else values[name] = value.trim()
  }
  return values
}

export function buildEntry(base, values, { uuid, deviceAt, timeZone, replaces }) {
  const entry = { ...base, ...values, uuid, device_at: deviceAt, time_zone: timeZone }
  return replaces ? { ...entry, replaces } : entry
}
