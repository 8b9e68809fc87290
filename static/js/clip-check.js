// Checks that can be made before the first byte is sent, and the figures shown while bytes are sent.
const MEBI = 1024 * 1024
const KINDS = /\.(mp4|m4v|mov|webm)$/i

// Returns the key of a text, or null. The server looks at the bytes; this only saves a needless upload.
export function clipProblem({ name, size, type }, maxBytes = 500 * MEBI) {
  if (size === 0) return "clip-empty"
  if (!KINDS.test(name) && !/^video\/(mp4|quicktime|webm|x-m4v)$/.test(type)) return "clip-kind"
  return size > maxBytes ? "clip-large" : null
}

export function sizeWords(bytes) {
  return bytes < MEBI ? `${Math.ceil(bytes / 1024)} kB` : `${(bytes / MEBI).toFixed(bytes < 10 * MEBI ? 1 : 0)} MB`
}

// A clip from a phone's camera in HEVC is a .mov or .mp4 like others: only the browser can tell, by failing to show it.
export function mayNeedConverting({ name, type }) {
  return /\.mov$/i.test(name) || type === "video/quicktime"
}

export function failureKey(status) {
  if (!status) return "upload-no-network"
  if (status === 401 || status === 403) return "upload-sign-in"
  if (status === 413) return "clip-large"
  if (status === 404 || status === 410) return "upload-expired"
  if (status === 507 || status === 429) return "upload-full"
  return "upload-failed"
}

// Part of the key under which an unfinished upload is found again: same person, same purpose, same file.
export function fingerprintOf(file, { scope, endpoint, metadata }) {
  return ["purlin", scope, endpoint, JSON.stringify(metadata), file.name, file.type, file.size, file.lastModified].join("|")
}
