"""What a log line says, and that no word of anybody is ever in one: canaries wherever people and tokens write."""

import base64
import json
import logging
import os
import subprocess
import sys
import uuid
from pathlib import Path

import pytest
from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.db import IntegrityError, transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.test import Client as Browser
from django.urls import include, path, resolve, reverse

import jobs
from clients.models import User
from coaching import logs
from jobs import registry
from tests import factories as f
from tests import test_access as access
from tests.coaching import good
from tests.coaching.captured_logs import production_logs

ROOT = Path(__file__).parents[2]
# In everything that is sent; test_access.py has further ones in every row there is.
CANARY = "dotterel4e7b"
CANARIES = [CANARY, access.CANARY, access.COACHES_CANARY]


def record(name: str = "gunicorn.error", message: object = "", *args: object, source: str = __file__, exc_info=None):
    return logging.LogRecord(name, logging.WARNING, source, 12, message, args, exc_info, "place")


def told(*args, **kwargs) -> dict:
    return json.loads(logs.Json().format(record(*args, **kwargs)))


def caught(error: Exception):
    try:
        raise error
    except type(error):
        return sys.exc_info()


# One line


def test_own_line_is_told_as_it_is():
    assert told("clients.domain", "Row %s was kept.", 7)["message"] == "Row 7 was kept."


def test_line_of_others_keeps_its_words_and_numbers_without_its_values():
    line = told("celery.worker", "Task %s took %.1f s of %d", CANARY, 1.5, 3)

    assert line["message"] == "Task … took 1.5 s of 3"


def test_line_of_others_with_named_values_keeps_its_words():
    assert told("celery.worker", "Task %(name)s in %(ms)s ms", {"name": CANARY, "ms": 3})["message"] == "Task … in 3 ms"


def test_line_of_others_that_was_put_together_is_withheld():
    line = told("gunicorn.error", f"Invalid request: {CANARY}")

    assert line["message"] == "(words withheld) tests/coaching/test_logs.py:12 place"


def test_line_of_others_that_does_not_fit_its_values_is_told_without_them():
    assert told("celery.worker", "Task %d", CANARY)["message"] == "Task %d"


def test_answer_of_django_is_told_by_its_status():
    made = record("django.request", "Not Found: %s", f"/{CANARY}")
    made.status_code = 404

    assert json.loads(logs.Json().format(made))["message"] == "Answered 404."


def test_nothing_that_hangs_on_a_record_is_told():
    made = record("clients.domain", "Kept.")
    made.request, made.status = CANARY, 200

    line = json.loads(logs.Json().format(made))
    assert CANARY not in str(line)
    assert line["status"] == 200


def test_exception_is_told_by_type_and_place_without_its_words():
    line = told("clients.domain", "Failed.", exc_info=caught(ValueError(CANARY)))

    assert line["error"]["type"] == "ValueError"
    assert line["error"]["stack"][-1].startswith("tests/coaching/test_logs.py:")
    assert CANARY not in str(line)


def test_cause_of_an_exception_is_told_by_its_type():
    outer = RuntimeError(CANARY)
    outer.__cause__ = IntegrityError(CANARY)

    assert told("clients.domain", "Failed.", exc_info=caught(outer))["error"]["because_of"] == [
        "django.db.utils.IntegrityError"
    ]


def test_terminal_gets_readable_lines_with_the_same_silence():
    text = logs.Lines().format(record("gunicorn.error", "Error at %s", CANARY, exc_info=caught(KeyError(CANARY))))

    assert text.splitlines()[0].endswith("WARNING gunicorn.error Error at …")
    assert text.splitlines()[-1] == "  KeyError"
    assert CANARY not in text


# Requests


@pytest.mark.parametrize("given", ["0123456789abcdef" * 2, "0f8fad5b-d9cb-469f-a165-70867728950e"])
def test_request_id_of_the_proxy_is_taken_over(client, given):
    assert client.get(reverse("livez"), headers={"X-Request-Id": given})["X-Request-Id"] == given


@pytest.mark.parametrize("given", ["", CANARY, "0123456789ABCDEF" * 2, "0" * 33, f"{'0' * 32}\n", f"{'0' * 31}é"])
def test_request_id_that_could_say_something_is_replaced(client, given):
    answered = client.get(reverse("livez"), headers={"X-Request-Id": given})["X-Request-Id"]

    assert answered != given
    assert uuid.UUID(hex=answered)


def test_each_request_leaves_one_line_with_its_facts(client):
    with production_logs("INFO") as printed:
        answer = client.get(reverse("livez"), {"q": CANARY})

    [line] = printed.lines()
    assert line["request"] == answer["X-Request-Id"]
    assert {name: line[name] for name in ("logger", "method", "route", "status", "bytes")} == {
        "logger": "coaching.access",
        "method": "GET",
        "route": "livez",
        "status": 200,
        "bytes": 2,
    }
    assert 0 <= line["ms"] < 60_000


def test_line_names_the_practice_of_who_asks(cast, signed_in):
    with production_logs("INFO") as printed:
        signed_in(cast.client_user).get(reverse("my-home"))

    assert printed.lines()[-1]["practice"] == str(cast.practice.uuid)


def test_method_that_nobody_defined_is_not_repeated(client):
    with production_logs("INFO") as printed:
        client.generic(CANARY, reverse("livez"))

    assert printed.lines()[-1]["method"] == "other"


def test_line_after_a_request_belongs_to_no_request(client):
    client.get(reverse("livez"))

    assert "request" not in told("clients.domain", "Kept.")


def test_files_of_pages_share_one_name(client):
    with production_logs("INFO") as printed:
        client.get(f"/static/{CANARY}.css")

    assert printed.lines()[-1]["route"] == "static"


# Canaries


def assert_silent(printed, *secrets: str, about: str = "request") -> None:
    text, lines = printed.getvalue().lower(), printed.lines()
    assert lines
    assert [line for line in lines if about not in line] == []
    assert [word for word in [*CANARIES, *secrets] if word.lower() in text] == []


def broken(request: HttpRequest, how: str) -> HttpResponse:
    if how == "busy":
        # Django writes its line about this one after every middleware.
        return HttpResponse(CANARY, status=503)
    if how == "unique":
        with transaction.atomic():
            for _ in range(2):
                User.objects.create_user(f"{CANARY}@example.test", None, name=CANARY)
    raise {
        "quote": IntegrityError(f"DETAIL: Key (email)=({CANARY}) already exists."),
        "value": ValueError(CANARY),
        "suspicious": SuspiciousOperation(CANARY),
        "denied": PermissionDenied(CANARY),
        "absent": Http404(CANARY),
    }[how]


urlpatterns = [path("broken/<str:how>/", broken, name="broken"), path("", include("coaching.urls"))]
BROKEN = {"unique": 500, "quote": 500, "value": 500, "suspicious": 400, "denied": 403, "absent": 404, "busy": 503}


@pytest.mark.django_db
@pytest.mark.parametrize("level", ["DEBUG", "INFO"])
@pytest.mark.parametrize("how", BROKEN)
def test_error_says_nothing_of_what_it_quotes(settings, level, how):
    settings.ROOT_URLCONF = __name__
    browser = Browser(raise_request_exception=False)
    with production_logs(level) as printed:
        answer = browser.post(reverse("broken", args=[how]), {"text": CANARY}, query_params={"q": CANARY})

    assert answer.status_code == BROKEN[how]
    assert_silent(printed)
    if BROKEN[how] == 500:
        [line] = [line for line in printed.lines() if line["logger"] == "django.request"]
        assert any("test_logs.py" in step for step in line["error"]["stack"])


@pytest.mark.parametrize("level", ["DEBUG", "INFO"])
def test_refusals_before_any_view_say_nothing(client, level):
    strict = Browser(enforce_csrf_checks=True)
    with production_logs(level) as printed:
        assert client.get("/", headers={"Host": f"{CANARY}.example"}).status_code == 400
        headers = {"Referer": f"https://{CANARY}.example/", "Origin": f"https://{CANARY}.example"}
        assert strict.post(reverse("sign-in"), {"username": CANARY}, headers=headers).status_code == 403
        assert client.get(f"/{CANARY}/").status_code == 404
        assert client.get("/", headers={"Content-Length": CANARY}).status_code < 500

    assert_silent(printed)


@pytest.fixture
def things(cast, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return access._things(cast)


@pytest.mark.django_db
@pytest.mark.parametrize("level", ["DEBUG", "INFO"])
def test_what_a_client_tells_and_sends_is_never_logged(things, cast, level):
    browser = Browser(headers={"User-Agent": CANARY, "Referer": f"https://x.example/{CANARY}"})
    browser.force_login(cast.client_user)
    session = browser.cookies["sessionid"].value
    metadata = access.upload_headers(things)
    metadata["Upload-Metadata"] += f",question {base64.b64encode(CANARY.encode()).decode()}"
    entry = access.log_entry(things)["entries"][0] | {"note": CANARY}
    how_much = {"during": "3", "after": "1", "note": CANARY}
    hurts = f.PainReportFactory(client=cast.client, during=None, after_blow=False, pin_point=False)
    with production_logs(level) as printed:
        sent = [
            browser.post(reverse("pain-how-much", args=[hurts.uuid]), how_much),
            browser.post(reverse("ask"), {"text": CANARY}),
            browser.post(reverse("intake-step", args=["equipment"]), {"place": CANARY, "items": ["dumbbell"]}),
            browser.post(reverse("uploads"), headers=metadata),
            browser.post(reverse("api-log"), json.dumps({"entries": [entry]}), content_type="application/json"),
        ]

    assert [answer.status_code for answer in sent] == [302, 302, 302, 201, 200]
    assert_silent(printed, session, metadata["Upload-Metadata"].rpartition(" ")[2])


@pytest.mark.django_db
@pytest.mark.parametrize("level", ["DEBUG", "INFO"])
def test_names_addresses_and_tokens_of_letters_are_never_logged(things, cast, settings, level):
    settings.DEMO = True
    coach, visitor = Browser(), Browser()
    coach.force_login(cast.coach)
    with production_logs(level) as printed:
        invited = coach.post(reverse("invite-client"), {"name": CANARY, "email": f"{CANARY}@example.test"})
        letter = reverse("accept-invitation", args=[things.invitation_token])
        link = reverse("sign-in-once", args=[things.sign_in_token])
        opened = [visitor.get(letter), visitor.get(link), visitor.post(link)]
        visitor.logout()
        refused = visitor.post(reverse("sign-in"), {"login": f"{CANARY}@example.test", "password": CANARY})

    assert invited.status_code == 302
    assert [answer.status_code for answer in opened] == [200, 200, 302]
    assert refused.status_code == 200
    assert_silent(printed, things.invitation_token, things.sign_in_token)


@pytest.mark.slow
@pytest.mark.django_db
@pytest.mark.parametrize("person", ["client", "coach", "signed out"])
def test_no_address_logs_what_it_is_asked_or_sent(things, person):
    """Every address there is, with canaries in everything that a browser can send."""
    browser = Browser(raise_request_exception=False, headers={"User-Agent": CANARY, "X-Request-Id": CANARY})
    if person != "signed out":
        browser.force_login(things.people[person])
    with production_logs("DEBUG") as printed:
        for name, route in access.ROUTES.items():
            url = reverse(name, kwargs=route.kwargs(things))
            for sent in (route.sends(things), canaries_for(route.sends(things))):
                with transaction.atomic():
                    body = json.dumps(sent) if route.json else sent
                    kind = {"content_type": "application/json"} if route.json else {}
                    access._whole(browser.get(url, {"q": CANARY}))
                    access._whole(browser.post(url, body, query_params={"q": CANARY}, **kind))
                    transaction.set_rollback(True)

    # Two names of one address are logged as the first.
    routes = {resolve(reverse(name, kwargs=route.kwargs(things))).view_name for name, route in access.ROUTES.items()}
    assert {line["route"] for line in printed.lines() if "route" in line} >= routes
    cookies = [cookie.value for cookie in browser.cookies.values() if cookie.value]
    assert_silent(printed, things.invitation_token, things.sign_in_token, *cookies)


def canaries_for(sent: object) -> object:
    """The same with a canary for every text, and in the fields that take one."""
    if isinstance(sent, dict):
        texts = ["name", "email", "text", "note", "title", "question", "message", "cue", "password", "login", "goal"]
        return dict.fromkeys(texts, CANARY) | {name: canaries_for(value) for name, value in sent.items()}
    if isinstance(sent, list):
        return [canaries_for(each) for each in sent]
    return CANARY if isinstance(sent, str) else sent


@pytest.fixture
def quoting_task():
    name = "tests.quotes"

    @jobs.task(name, max_attempts=1)
    def quotes(_id: int) -> None:
        raise IntegrityError(f"DETAIL: Key (email)=({CANARY}) already exists.") from ValueError(CANARY)

    yield name
    del registry._tasks[name]


@pytest.mark.django_db
@pytest.mark.parametrize("level", ["DEBUG", "INFO"])
def test_job_that_fails_says_nothing_of_what_it_quotes(quoting_task, level):
    with transaction.atomic():
        job = jobs.request(quoting_task, 1)
    with production_logs(level) as printed:
        jobs.run_waiting()

    assert_silent(printed, about="job")
    assert {line["job"] for line in printed.lines()} == {str(job.uuid)}
    assert {line["job_name"] for line in printed.lines()} == {quoting_task}


@pytest.mark.django_db
def test_canary_that_is_logged_is_noticed(client):
    with production_logs("INFO") as printed:
        client.get(reverse("livez"))
        logging.getLogger("clients").warning("Said: %s", CANARY)

    with pytest.raises(AssertionError):
        assert_silent(printed)


# What Python and the servers print by themselves

BAD_MANNERS = f"""
import django, logging, threading, warnings
django.setup()
from coaching.serving import loggers
loggers.set_up()
def fails():
    raise ValueError({CANARY!r})
thread = threading.Thread(target=fails); thread.start(); thread.join()
warnings.warn({CANARY!r})
logging.getLogger("clients").warning("%d", {CANARY!r})
cut_off = logging.getLogger("cut.off"); cut_off.propagate = False; cut_off.error("at %s", {CANARY!r})
class Unraisable:
    def __del__(self):
        raise ValueError({CANARY!r})
Unraisable()
fails()
"""


@pytest.mark.slow
def test_process_that_misbehaves_prints_no_words(tmp_path):
    environment = good.environment(tmp_path) | {"DJANGO_SETTINGS_MODULE": "coaching.settings.production"}
    ended = subprocess.run(
        [sys.executable, "-c", BAD_MANNERS],
        cwd=ROOT,
        env={"PATH": os.environ["PATH"]} | environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )

    lines = [json.loads(line) for line in ended.stderr.splitlines()]
    assert CANARY not in ended.stderr + ended.stdout
    assert [line["error"]["type"] for line in lines if "error" in line] == ["ValueError"] * 3
    assert "UserWarning from <string>:9" in [line["message"] for line in lines]
    assert len(lines) == 5
