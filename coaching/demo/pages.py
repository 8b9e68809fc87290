"""Addresses of the demo's pages worth looking at, by name: for screenshots."""

from django.urls import reverse

from clients.models import Client
from programs.models import Block, BlockSession, Prescription, ScheduledSession
from submissions.models import Submission


def coach_pages() -> dict[str, str]:
    progressing = Client.objects.get(name="Ilse Varga")
    block = Block.objects.of(progressing).filter(state="published").order_by("-starts_on")[0]
    waiting = Submission.objects.waiting().filter(clip__state="ready").in_queue_order().first()
    pages = {
        "desk": reverse("desk"),
        "queue": reverse("queue"),
        "clients": reverse("clients"),
        "progress": reverse("client", args=[progressing.uuid]),
        "progress-stalled": reverse("client", args=[Client.objects.get(name="Bram Okonjo").uuid]),
        "state": reverse("client-state", args=[Client.objects.get(name="Bram Okonjo").uuid]),
        "safety": reverse("client-safety", args=[Client.objects.get(name="Tomas Reyne").uuid]),
        "blocks": reverse("client-blocks", args=[progressing.uuid]),
        "block": reverse("block", args=[block.uuid]),
        "block-session": reverse("block-session", args=[block.uuid, block.sessions.all()[0].uuid]),
        "client-days": reverse("client-days", args=[progressing.uuid]),
        "repeat-week": reverse("repeat-week"),
        "templates": reverse("block-templates"),
        "public-sessions": reverse("public-sessions"),
        "block-sheet": reverse("block-sheet", args=[block.uuid]),
        "movements": reverse("movements"),
        "could-do": reverse("could-do", args=[progressing.uuid, strength_of(block.sessions.all()[0]).uuid]),
        "baseline": reverse("client-baseline", args=[Client.objects.get(name="Ronja Ebadi").uuid]),
        "invite": reverse("invite-client"),
        "mailbox": reverse("mailbox"),
    }
    return pages | ({"review": reverse("review", args=[waiting.uuid])} if waiting else {})


def strength_of(session: BlockSession) -> Prescription:
    return Prescription.objects.filter(group__section__session=session, group__section__kind="strength")[0]


def client_pages(name: str) -> dict[str, str]:
    client = Client.objects.get(name=name)
    session = ScheduledSession.objects.of(client).filter(state="planned").order_by("on").first()
    block = Block.objects.of(client).filter(state="published").order_by("-starts_on")[0]
    pages = {
        "my-home": reverse("my-home"),
        "check-in": reverse("check-in"),
        "my-check-ins": reverse("my-check-ins"),
        "my-body-mass": reverse("my-body-mass"),
        "my-baseline": reverse("my-baseline"),
        "today": reverse("today"),
        "my-days": reverse("my-days"),
        "my-calendar": reverse("my-calendar"),
        "my-clips": reverse("my-clips"),
        "my-progress": reverse("my-progress"),
        "my-block": reverse("my-block", args=[block.uuid]),
        "my-sheet": reverse("my-block-sheet", args=[block.uuid]),
        "outcome": reverse("outcome"),
        "consents": reverse("consents"),
        "intake-health": reverse("intake-step", args=["health"]),
        "intake-equipment": reverse("intake-step", args=["equipment"]),
        "intake-body": reverse("intake-step", args=["body"]),
        "pain": reverse("report-pain"),
        "stop": reverse("stop-and-seek-care"),
        "ask": reverse("ask"),
    }
    if session is not None:
        first = strength_of(session.session)
        pages["train"] = reverse("train", args=[session.uuid])
        pages["train-instead"] = reverse("train-instead", args=[session.uuid, first.uuid])
        pages["film"] = reverse("upload-clip", args=[session.uuid, first.uuid])
    return pages
