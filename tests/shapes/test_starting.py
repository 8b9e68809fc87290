"""What `serve` says before it starts with a storage that would lose clips."""

import pytest
from django.core.files.storage import storages

from coaching.management.commands import serve
from coaching.serving import checks


def test_storage_that_cannot_be_used_is_refused(monkeypatch):
    monkeypatch.setattr(storages["default"], "why_unusable", lambda: "The storage clips does not answer.")

    with pytest.raises(checks.Refused, match=r"^The storage clips does not answer\.$"):
        checks.check_storage()


def test_half_a_configuration_is_refused_before_the_storage_is_asked(monkeypatch):
    monkeypatch.setattr(checks, "storage_problems", lambda: ["PURLIN_S3_KEY is set without PURLIN_S3_BUCKET."])
    monkeypatch.setattr(storages["default"], "why_unusable", lambda: 1 / 0)

    with pytest.raises(checks.Refused, match="PURLIN_S3_KEY is set without"):
        checks.check_storage()


def test_serve_asks_about_the_storage(monkeypatch):
    def refuse() -> None:
        raise checks.Refused("asked")

    for name in ("check_demo", "check_address", "check_port", "check_disk", "check_private_folder"):
        monkeypatch.setattr(checks, name, lambda *args, **kwargs: None)
    monkeypatch.setattr(checks, "check_storage", refuse)

    with pytest.raises(checks.Refused, match="asked"):
        serve.prepare(host="127.0.0.1", port=8000, demo=True, migrate=False, say=print)
