// Puts the CSRF token on every htmx request that goes to this site.
import { csrfToken } from "csrf"

document.addEventListener("htmx:configRequest", (event) => {
  event.detail.headers["X-CSRFToken"] = csrfToken()
})
