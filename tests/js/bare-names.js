// Our modules import one another by bare names, as the page's import map allows; this teaches node the same names.
import { existsSync } from "node:fs"
import { registerHooks } from "node:module"

const scripts = new URL("../../static/js/", import.meta.url)

registerHooks({
  resolve(specifier, context, next) {
    const own = new URL(`${specifier}.js`, scripts)
    return /^[\w-]+$/.test(specifier) && existsSync(own) ? next(own.href, context) : next(specifier, context)
  },
})
