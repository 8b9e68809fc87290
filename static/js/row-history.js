// What rows held, step by step, to go back and forth. A new step after going back ends what would have followed.
const MOST = 200

export class RowHistory {
  #states
  #at = 0

  constructor(first) {
    this.#states = [JSON.stringify(first)]
  }

  note(state) {
    const text = JSON.stringify(state)
    if (text === this.#states[this.#at]) return false
    this.#states = [...this.#states.slice(0, this.#at + 1), text].slice(-MOST)
    this.#at = this.#states.length - 1
    return true
  }

  // Lineages that the server gave belong to what stands there now; no step of its own.
  replace(state) {
    this.#states[this.#at] = JSON.stringify(state)
  }

  undo() { return this.#go(-1) }

  redo() { return this.#go(1) }

  #go(by) {
    const to = this.#at + by
    if (to < 0 || to >= this.#states.length) return null
    this.#at = to
    return JSON.parse(this.#states[to])
  }
}
