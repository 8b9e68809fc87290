"""Pages that must come out whatever is missing."""

import pytest
from django.template.loader import render_to_string

CAUTION = "Purlin supports a coach; it does not diagnose or treat."


def test_server_error_page_needs_no_context():
    assert "Something broke on our side" in render_to_string("500.html")


@pytest.mark.parametrize("name", ["404.html", "403.html", "403_csrf.html", "base.html"])
def test_shared_page_without_context_carries_the_caution(name):
    assert CAUTION in render_to_string(name)


def test_demo_says_that_its_data_are_invented():
    assert "Invented demo data on this machine." in render_to_string("base.html", {"demo": True})


def test_page_outside_the_demo_does_not():
    assert "Invented demo data" not in render_to_string("base.html", {"demo": False})


def test_navigation_marks_the_page_on_show():
    items = [{"label": "Desk", "url": "/desk/", "current": True}, {"label": "Clients", "url": "/c/", "current": False}]

    html = render_to_string("base.html", {"nav_items": items})

    assert '<a href="/desk/" aria-current="page">Desk</a>' in html
    assert '<a href="/c/">Clients</a>' in html


def test_import_map_carries_the_nonce_of_the_request(rf):
    request = rf.get("/")
    request.csp_nonce = "abc123"

    assert '<script type="importmap" nonce="abc123">' in render_to_string("base.html", request=request)
