import io

import pytest
from django.core.management import CommandError, call_command

from clients.models import Membership, Practice, User
from tests import factories as f

pytestmark = pytest.mark.django_db


def begin(monkeypatch, *args, password=f.PASSWORD):
    monkeypatch.setattr("sys.stdin", io.StringIO(password + "\n"))
    call_command("start_practice", *args)


def test_new_installation_begins_with_an_owner_who_can_sign_in(client, monkeypatch):
    begin(monkeypatch, "Ridge Row", "ada@example.test", "--time-zone", "Europe/Berlin")

    assert client.login(username="ada@example.test", password=f.PASSWORD)
    assert Membership.objects.owners().get().practice.time_zone == "Europe/Berlin"


def test_weak_password_of_the_owner_is_refused_and_nothing_is_kept(monkeypatch):
    with pytest.raises(CommandError, match="too short"):
        begin(monkeypatch, "Ridge Row", "ada@example.test", password="short")

    assert not Practice.objects.exists()
    assert not User.objects.exists()


def test_same_practice_is_not_begun_twice(monkeypatch):
    begin(monkeypatch, "Ridge Row", "ada@example.test")

    with pytest.raises(CommandError, match="already"):
        begin(monkeypatch, "Ridge Row", "ada@example.test")


def test_unknown_zone_is_refused(monkeypatch):
    with pytest.raises(CommandError, match="time zone"):
        begin(monkeypatch, "Ridge Row", "ada@example.test", "--time-zone", "Mars/One")
