"""A real Chromium, and pages signed in as someone of the cast."""

import os

import pytest
from django.conf import settings
from django.test import Client as Session
from playwright.sync_api import sync_playwright

# Playwright's own loop runs in this thread; the ORM is used from it on purpose.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
ARGUMENTS = [
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    "--autoplay-policy=no-user-gesture-required",
]


@pytest.fixture(scope="module")
def chromium():
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=ARGUMENTS)
        yield browser
        browser.close()


def is_error(said, expected):
    return said.type == "error" and not (expected and expected in said.text)


@pytest.fixture
def open_as(chromium, live_server):
    """A page at 360 px, or at a desk's width, signed in as this person.

    Errors of scripts fail the test, and so do refused answers, but for one that is `expected`.
    """
    contexts, errors = [], []

    def sign_in(user, *, width=360, expected=""):
        context = chromium.new_context(viewport={"width": width, "height": 800})
        contexts.append(context)
        session = Session()
        session.force_login(user)
        value = session.cookies[settings.SESSION_COOKIE_NAME].value
        context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": live_server.url}])
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if is_error(said, expected) else None)
        return page

    yield sign_in
    for context in contexts:
        context.close()
    assert errors == []
