// What was typed into a form is there again after its sending was answered with the sign-in page, for the same person.
// It stays in this tab, for an hour, and never holds a password. Forms that keep drafts of their own are left to them.
import { fill } from "draft-keeper"
import { make } from "elements"
import { text } from "texts"

const KEY = "typed"
const KEPT_MS = 3600 * 1000
const person = document.querySelector("meta[name=person]")?.content ?? ""

document.addEventListener("submit", ({ target: form }) => {
  if (!person || form.method !== "post" || form.closest("draft-keeper, set-logger")) return
  const pairs = typed(form)
  if (pairs.length) store({ person, page: location.pathname, search: location.search, action: form.getAttribute("action"), at: Date.now(), pairs })
})

function typed(form) {
  const shown = [...form.elements].filter((element) => !["hidden", "password", "file"].includes(element.type)).map((element) => element.name)
  return [...new FormData(form)].filter(([name, value]) => shown.includes(name) && typeof value === "string")
}

const kept = load()
if (kept && !person) wait(kept)
else if (kept && isFor(kept)) giveBack(kept)
else if (kept && !(kept.waiting && kept.person === person)) sessionStorage.removeItem(KEY)

// A page that nobody is signed in on came instead of the answer; from there the way leads back to where it was typed.
// The sign-in page itself then names a page to go on with. Without one somebody signed out, maybe before this module ran.
function wait(kept) {
  const nexts = [...document.querySelectorAll("input[name=next]")]
  if (!kept.waiting && nexts.length && nexts.every(({ value }) => !value)) return sessionStorage.removeItem(KEY)
  store({ ...kept, waiting: true })
  for (const next of nexts) next.value = kept.page + kept.search
}

function isFor({ waiting, person: who, page }) {
  return waiting && who === person && page === location.pathname
}

function giveBack({ action, pairs }) {
  sessionStorage.removeItem(KEY)
  const form = [...document.querySelectorAll("form[method=post]")].find((each) => each.getAttribute("action") === action && each.elements[pairs[0][0]])
  if (!form) return
  fill([...form.elements].filter((element) => element.type !== "password"), pairs)
  form.prepend(make("p", { class: "notice notice--info", role: "status" }, text("typed-back")))
}

// A browser may refuse its storage; then nothing is kept and the forms work as ever.
function load() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEY))
    return kept && Date.now() - kept.at < KEPT_MS ? kept : null
  } catch { return null }
}

function store(kept) {
  try { sessionStorage.setItem(KEY, JSON.stringify(kept)) } catch { /* full or forbidden */ }
}
