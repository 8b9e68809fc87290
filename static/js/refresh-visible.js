// Fires `refresh-due` on itself every so many seconds while the page is looked at, and when it is looked at again.
class RefreshVisible extends HTMLElement {
  #last = Date.now()

  connectedCallback() {
    this.every = Number(this.getAttribute("seconds") ?? 60) * 1000
    this.timer = setInterval(this.#check, this.every)
    document.addEventListener("visibilitychange", this.#check)
  }

  disconnectedCallback() {
    clearInterval(this.timer)
    document.removeEventListener("visibilitychange", this.#check)
  }

  #check = () => {
    // Timers may fire a little early.
    if (document.visibilityState !== "visible" || Date.now() - this.#last < this.every - 500) return
    this.#last = Date.now()
    this.dispatchEvent(new CustomEvent("refresh-due"))
  }
}

customElements.define("refresh-visible", RefreshVisible)
