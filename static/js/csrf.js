// The token for requests that are not plain forms. The cookie first: a page left open keeps working after
// somebody signed in again in another tab, which changes the token.
export function cookieValue(cookies, name) {
  const found = cookies.split("; ").find((cookie) => cookie.startsWith(`${name}=`))
  return found ? decodeURIComponent(found.slice(name.length + 1)) : null
}

export function csrfToken() {
  const meta = document.querySelector("meta[name='csrf-token']")
  return cookieValue(document.cookie, meta?.dataset.cookie ?? "csrftoken") ?? meta?.content ?? ""
}
