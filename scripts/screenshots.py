"""Photograph the demo at phone and desktop width, light and dark: `make screenshots` with the demo running.

Signs in by fresh one-time links, so it runs beside `make run` on the same machine.
"""

import json
import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings.demo")

import django  # noqa: E402

django.setup()

from playwright.sync_api import Browser, sync_playwright  # noqa: E402

from coaching.demo import sign_in_links  # noqa: E402
from coaching.demo.pages import client_pages, coach_pages  # noqa: E402

CHROMIUM = {
    "executable_path": os.environ.get("PURLIN_CHROMIUM", "/usr/bin/chromium"),
    "args": ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync"],
}  # fmt: skip
SIZES = {"phone": (360, 740), "desktop": (1280, 860)}


def photograph(browser: Browser, base: str, who: str, link: str, pages: dict[str, str], into: Path) -> None:
    for scheme in ("light", "dark"):
        context = browser.new_context(color_scheme=scheme, viewport={"width": 1280, "height": 860})
        page = context.new_page()
        if scheme == "light":
            page.goto(base + link)
            page.click("button:has-text('Sign in')")
            state = context.storage_state()
            (into / f".{who}.json").write_text(json.dumps(state))
        context.close()
        for size, (width, height) in SIZES.items():
            context = browser.new_context(
                color_scheme=scheme,
                viewport={"width": width, "height": height},
                storage_state=str(into / f".{who}.json"),
            )
            page = context.new_page()
            for name, path in pages.items():
                page.goto(base + path)
                page.wait_for_timeout(200)
                page.screenshot(path=str(into / f"{name}-{size}-{scheme}.png"), full_page=True)
            context.close()


def main() -> None:
    base = f"http://127.0.0.1:{os.environ.get('PORT', '8000')}"
    into = ROOT / "screenshots"
    into.mkdir(exist_ok=True)
    only = set(sys.argv[1:])
    links = {label.split(",")[0]: path for label, path in sign_in_links()}
    # Playwright runs an event loop, beside which Django refuses the database: ask it first.
    walks = [("coach", links["Mara Quell"], coach_pages()), ("client", links["Ilse Varga"], client_pages("Ilse Varga"))]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        for who, link, pages in walks:
            photograph(browser, base, who, link, {n: p for n, p in pages.items() if not only or n in only}, into)
        browser.close()


if __name__ == "__main__":
    main()
