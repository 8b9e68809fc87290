// Sends a clip in pieces by the open tus protocol, and carries on where it stopped. Needs the global `tus`.
import { clipProblem, failureKey, fingerprintOf, mayNeedConverting, sizeWords } from "clip-check"
import { csrfToken } from "csrf"
import { UploadPanel } from "upload-panel"
import { text } from "texts"

const CHUNK_BYTES = 8 * 1024 * 1024
const RETRY_MS = [0, 1000, 3000, 5000, 10_000, 20_000, 30_000]

class ClipUpload extends HTMLElement {
  #upload = null
  #isDone = false

  connectedCallback() {
    this.input = this.querySelector("input[type=file]")
    this.panel = new UploadPanel({ send: () => this.#send(), pause: () => this.#pause(), resume: () => this.#resume() })
    this.append(this.panel.box)
    this.input.addEventListener("change", this.#onFile)
    window.addEventListener("beforeunload", this.#warn)
    this.addEventListener("submit", this.#onSubmit)
  }

  disconnectedCallback() {
    window.removeEventListener("beforeunload", this.#warn)
    this.#upload?.abort()
  }

  #onSubmit = (event) => { event.preventDefault(); this.#send() }

  #warn = (event) => { if (this.#upload && !this.#isDone) event.preventDefault() }

  #onFile = () => {
    const file = this.input.files[0]
    if (!file) return
    const problem = clipProblem(file, this.#maxBytes)
    this.#upload?.abort()
    this.#upload = null
    if (problem) this.panel.refuse(file.name, text(problem, { limit: sizeWords(this.#maxBytes) }))
    else this.panel.offer(file.name, sizeWords(file.size), mayNeedConverting(file) ? text("clip-hevc") : "")
  }

  get #maxBytes() {
    return Number(this.getAttribute("max-bytes")) || undefined
  }

  async #send() {
    const file = this.input.files[0]
    const inputs = [...this.querySelectorAll("input, textarea, select")]
    if (!file || !inputs.every((input) => input.reportValidity())) return
    this.#upload = new window.tus.Upload(file, this.#options(file))
    const [previous] = await this.#upload.findPreviousUploads()
    if (previous) this.#upload.resumeFromPreviousUpload(previous)
    this.#resume()
  }

  #options(file) {
    const metadata = this.#metadata()
    const scope = this.getAttribute("scope") ?? ""
    const endpoint = this.getAttribute("endpoint")
    return {
      endpoint,
      chunkSize: CHUNK_BYTES,
      retryDelays: RETRY_MS,
      removeFingerprintOnSuccess: true,
      metadata: { ...metadata, filename: file.name, filetype: file.type },
      fingerprint: async () => fingerprintOf(file, { scope, endpoint, metadata }),
      onBeforeRequest: (request) => request.setHeader("X-CSRFToken", csrfToken()),
      onProgress: (sent, total) => this.panel.progress(sent, total, text("upload-figures", { sent: sizeWords(sent), total: sizeWords(total) })),
      onError: (error) => this.#fail(error),
      onSuccess: () => this.#finish(),
    }
  }

  #metadata() {
    const named = [...this.querySelectorAll("input, textarea, select")].filter((input) => input.name && input !== this.input)
    const chosen = named.filter((input) => !["radio", "checkbox"].includes(input.type) || input.checked)
    const typed = chosen.filter((input) => input.name !== "csrfmiddlewaretoken" && input.value !== "")
    return { ...JSON.parse(this.getAttribute("metadata") || "{}"), ...Object.fromEntries(typed.map((input) => [input.name, input.value])) }
  }

  #pause() {
    this.#upload.abort()
    this.panel.paused(text("upload-paused"))
  }

  #resume() {
    this.#upload.start()
    this.panel.running(text("upload-running"))
  }

  #fail(error) {
    const status = error.originalResponse?.getStatus()
    const said = error.originalResponse?.getHeader("Content-Type")?.startsWith("text/plain") ? error.originalResponse.getBody() : ""
    this.panel.failed(said || text(failureKey(status), { limit: sizeWords(this.#maxBytes ?? 0) }))
  }

  #finish() {
    this.#isDone = true
    this.panel.done(text("upload-done"))
    this.dispatchEvent(new CustomEvent("clip-uploaded", { bubbles: true, detail: { url: this.#upload.url } }))
    const next = this.getAttribute("done-url")
    if (next) window.location.assign(next)
  }
}

customElements.define("clip-upload", ClipUpload)
