// Sends the form inside by itself once the page is looked at. Without the script its button does it.
class SeenMarker extends HTMLElement {
  connectedCallback() {
    document.addEventListener("visibilitychange", this.#mark)
    this.#mark()
  }

  disconnectedCallback() { document.removeEventListener("visibilitychange", this.#mark) }

  #mark = async () => {
    const form = this.querySelector("form")
    if (!form || document.visibilityState !== "visible") return
    document.removeEventListener("visibilitychange", this.#mark)
    const answer = await fetch(form.action, { method: "POST", body: new FormData(form), redirect: "manual" }).catch(() => null)
    if (answer && (answer.ok || answer.type === "opaqueredirect")) this.remove()
  }
}

customElements.define("seen-marker", SeenMarker)
