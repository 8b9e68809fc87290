// Sends one batch and says in one word what came of it.
import { csrfToken } from "csrf"
import { outcomeOf } from "log-queue"

const TIMEOUT_MS = 20_000

export async function sendBatch(url, entries) {
  let response
  try {
    response = await post(url, entries)
  } catch {
    return { outcome: "again", status: 0, answers: [] } // no network, or no answer in time
  }
  const outcome = outcomeOf(response)
  if (outcome !== "answered") return { outcome, status: response.status, answers: [] }
  return readAnswers(response)
}

function post(url, entries) {
  return fetch(url, {
    method: "POST",
    headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": csrfToken() },
    body: JSON.stringify({ entries }),
    credentials: "same-origin",
    signal: AbortSignal.timeout(TIMEOUT_MS),
  })
}

async function readAnswers(response) {
  try {
    const { answers } = await response.json()
    return { outcome: "answered", status: response.status, answers: Array.isArray(answers) ? answers : [] }
  } catch {
    return { outcome: "again", status: response.status, answers: [] } // cut off, or somebody else's page
  }
}
