// Keeps the queue on the phone. Reads before every change, because another tab may hold the same queue.
import { emptyQueue, parseQueue } from "log-queue"

export class LogStore {
  #memory = emptyQueue()

  constructor(name, storage) {
    this.name = name
    this.storage = storage
    this.isKept = true
    this.hadUnreadable = false
  }

  read() {
    if (!this.isKept) return this.#memory
    const stored = this.#stored()
    try {
      return parseQueue(stored)
    } catch (error) {
      return this.#setAside(stored, error)
    }
  }

  change(edit) {
    const queue = edit(this.read())
    this.#memory = queue
    if (this.isKept) this.#write(this.name, JSON.stringify(queue))
    return queue
  }

  #stored() {
    try {
      return this.storage.getItem(this.name)
    } catch (error) {
      this.#lose(error)
      return null
    }
  }

  #write(name, value) {
    try {
      this.storage.setItem(name, value)
    } catch (error) {
      this.#lose(error)
    }
  }

  // Private windows and full storage refuse: go on in memory, and let the page say so.
  #lose(error) {
    console.warn("log queue is not kept on this device", error)
    this.isKept = false
  }

  #setAside(stored, error) {
    console.warn("log queue was unreadable and is kept aside", error)
    this.hadUnreadable = true
    this.#write(`${this.name}:unreadable`, stored)
    this.#write(this.name, JSON.stringify(emptyQueue()))
    return emptyQueue()
  }
}
