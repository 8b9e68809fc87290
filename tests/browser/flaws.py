"""What keeps somebody from using a page, as a program can find it."""

from axe_playwright_python.sync_playwright import Axe

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


def flaws(page):
    """What axe finds in light and in dark, and whether the page is wider than the screen."""
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        # Colours of buttons change softly: axe is to see the last one.
        page.evaluate("document.getAnimations().forEach((one) => one instanceof CSSTransition && one.finish())")
        violations = Axe().run(page, options=RULES).response["violations"]
        found += [(scheme, rule["id"], rule["nodes"][0]["html"][:200]) for rule in violations]
    page.emulate_media(color_scheme="light")
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return [*found, "too wide"] if wide else found
