// The queue of log entries as plain data: {waiting: [{row, entry}], refused: [{row, entry, errors}]}.
// An entry leaves it only when the server has answered for its uuid.
export const BATCH_LIMIT = 50

export function emptyQueue() {
  return { waiting: [], refused: [] }
}

export function parseQueue(stored) {
  if (stored === null) return emptyQueue()
  const queue = JSON.parse(stored)
  if (!Array.isArray(queue?.waiting) || !Array.isArray(queue?.refused)) throw new TypeError("not a log queue")
  return queue
}

export function addEntry(queue, row, entry) {
  return {
    waiting: [...queue.waiting, { row, entry }],
    refused: queue.refused.filter((item) => item.row !== row),
  }
}

// A correction travels only after what it corrects has been answered for: the answer may be a refusal.
export function nextBatch(queue, limit = BATCH_LIMIT) {
  const waiting = new Set(queue.waiting.map(({ entry }) => entry.uuid))
  return queue.waiting.map(({ entry }) => entry).filter((entry) => !waiting.has(entry.replaces)).slice(0, limit)
}

export function lastOfRow(queue, row) {
  return queue.waiting.findLast((item) => item.row === row)?.entry ?? null
}

const SETTLED = new Set(["stored", "already_stored", "conflict", "refused"])

export function applyAnswers(queue, answers) {
  return answers.filter(({ status }) => SETTLED.has(status)).reduce(applyAnswer, queue)
}

function applyAnswer(queue, { uuid, status, errors = {} }) {
  const item = queue.waiting.find(({ entry }) => entry.uuid === uuid)
  if (!item) return queue
  const waiting = queue.waiting.filter((other) => other !== item)
  if (status !== "refused") return { ...queue, waiting }
  const corrected = waiting.some(({ row }) => row === item.row)
  return {
    waiting: waiting.map((other) => (other.entry.replaces === uuid ? inherit(other, item.entry.replaces) : other)),
    refused: corrected ? queue.refused : [...queue.refused, { ...item, errors }],
  }
}

// What was refused was never stored, so its correction takes over whatever it meant to replace.
function inherit(item, replaces) {
  const { replaces: _refused, ...entry } = item.entry
  return { ...item, entry: replaces ? { ...entry, replaces } : entry }
}

// Seconds until the next try: 2, 4, 8 ... 300, each shortened by up to a half so that phones do not try in step.
export function secondsBeforeRetry(attempt, random = Math.random) {
  return Math.min(300, 2 * 2 ** attempt) * (1 - random() / 2)
}

const PASSING = new Set([408, 425, 429])

export function outcomeOf({ status, redirected = false }) {
  if (redirected || status === 401 || status === 403) return "sign-in"
  if (status >= 200 && status < 300) return "answered"
  return status >= 500 || PASSING.has(status) ? "again" : "stuck"
}
