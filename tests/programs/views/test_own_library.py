import pytest
from django.urls import reverse

from clients.choices import ItemKind
from clients.models import AccessRecord
from programs.domain.library import at_hand, current_movements, load_library, why_not
from programs.domain.own_library import add_movement
from programs.errors import MovementRefused
from programs.forms import movement_initial
from programs.library.schema import ANCHOR, GRIP, SORENESS
from programs.models import Movement, MovementRevision, ProgressionEdge, ProgressionLine
from tests import factories as f

pytestmark = pytest.mark.django_db
DOSE = {"sets": "3", "amount": "3-5", "target_rir": "3", "reason": "Longer lever."}


@pytest.fixture
def library():
    load_library()


def _typed(slug="push-up", **changed):
    told = movement_initial(Movement.objects.get(slug=slug, practice=None).current) | {"number": 0}
    return {name: value for name, value in told.items() if value is not None and value is not False} | changed


def _line(*rows, name="Our line", version=0):
    sent = {"name": name, "version": version, "edge-TOTAL_FORMS": len(rows), "edge-INITIAL_FORMS": 0}
    return sent | {f"edge-{n}-{key}": value for n, row in enumerate(rows) for key, value in row.items()}


def _edge(easier, harder, **more):
    return {"easier": easier, "harder": harder} | DOSE | more


def test_own_movement_is_offered_here_and_nowhere_else(cast, library, signed_in):
    answer = signed_in(cast.coach).post(reverse("new-movement"), _typed(name="Park bench push-up"))

    assert answer.status_code == 302
    assert "park bench push-up" in current_movements(cast.practice)
    assert "park bench push-up" not in current_movements(cast.other_practice)


def test_new_movement_never_takes_the_place_of_a_shared_one_by_its_name(cast, library, signed_in):
    signed_in(cast.coach).post(reverse("new-movement"), _typed(name="Pull-up"))

    assert Movement.objects.get(practice=cast.practice).slug == "pull-up-2"


def test_our_version_takes_the_place_of_the_shared_one_and_logs_keep_the_old(cast, library, signed_in):
    shared = Movement.objects.get(slug="push-up")
    logged = f.SetLogFactory(movement=shared.current)

    signed_in(cast.coach).post(reverse("own-movement", args=[shared.uuid]), _typed(cues="One wall.\nTwo walls."))

    shared.refresh_from_db()
    logged.refresh_from_db()
    assert current_movements(cast.practice)["push-up"].cues == ["One wall.", "Two walls."]
    assert logged.movement == shared.current
    assert "One wall." not in logged.movement.cues


def test_our_version_keeps_cautions_details_and_the_source_of_the_share(cast, library, signed_in):
    shared = Movement.objects.get(slug="pull-up")

    signed_in(cast.coach).post(reverse("own-movement", args=[shared.uuid]), _typed("pull-up", name="Pull-up"))

    ours = current_movements(cast.practice)["pull-up"]
    assert ours.movement.practice == cast.practice
    for kept in ("cautions", "caution_codes", "grips", "details", "share_basis", "share_source"):
        assert getattr(ours, kept) == getattr(shared.current, kept)


def test_own_hanging_movement_carries_its_grips_details_and_cautions(cast, library, signed_in):
    told = {
        "way_1": ["bar", "chair"],
        "way_2": ["rings"],
        "grips": ["neutral", "pronated"],
        "least_bar_height_cm": "190",
        "cautions": ["grip", "anchor"],
        "own_caution": "The beam is rough: tape the hands.",
        "caution_codes": ["symptoms:ankles"],
        "lowering": "on",
    }

    signed_in(cast.coach).post(reverse("new-movement"), _typed("dead-hang", name="Beam hang", **told))

    ours = current_movements(cast.practice)["beam hang"]
    assert (ours.equipment, ours.details, ours.lowering) == (
        [["bar", "chair"], ["rings"]],
        {"bar": {"height_cm": 190}, "rings": {"height_cm": 150}},
        True,
    )
    assert sorted(ours.grips) == ["neutral", "pronated"]
    assert set(ours.cautions) == {GRIP, SORENESS, ANCHOR, "The beam is rough: tape the hands."}
    assert {"symptoms:ankles", "symptoms:dizzy", "special:pregnant", "disease:kidney"} <= set(ours.caution_codes)


def test_own_movement_with_a_low_bar_is_not_offered_as_possible(cast, library, signed_in):
    place = f.PlaceFactory(client=cast.client)
    f.EquipmentItemFactory(place=place, kind=ItemKind.BAR, attributes={"height_cm": 150})
    told = {"way_1": ["bar"], "least_bar_height_cm": "190"}

    signed_in(cast.coach).post(reverse("new-movement"), _typed("dead-hang", name="Beam hang", **told))

    ours = current_movements(cast.practice)["beam hang"]
    assert "at least 190 cm" in why_not(ours, at_hand(cast.client, on=f.MONDAY))


@pytest.mark.parametrize("slug", ["weighted-pull-up", "band-assisted-pull-up", "pull-up-negative", "dead-bug"])
def test_our_version_saved_as_it_was_says_the_same(cast, library, signed_in, slug):
    shared = Movement.objects.get(slug=slug, practice=None)

    signed_in(cast.coach).post(reverse("own-movement", args=[shared.uuid]), _typed(slug))

    ours = Movement.objects.get(slug=slug, practice=cast.practice).current
    told = {field.name for field in MovementRevision._meta.fields} - {"id", "uuid", "created_at", "movement", "number"}
    assert {name: getattr(ours, name) for name in told} == {name: getattr(shared.current, name) for name in told}


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"details": {"rings": {"height_cm": 100}}}, "does not need"),
        ({"details": {"bar": {"colour": 1}}}, "is not asked about colour"),
        ({"caution_codes": ["nobody:asks"]}, "no intake answer is called nobody:asks"),
        ({"lowering": True, "cautions": []}, "makes sore"),
    ],
)
def test_rules_of_the_library_hold_for_own_movements_whoever_adds_them(cast, library, facts, said):
    shared = Movement.objects.get(slug="pull-up").current
    told = {field.name: getattr(shared, field.name) for field in MovementRevision._meta.fields}
    for name in ("id", "uuid", "created_at", "movement", "number"):
        del told[name]

    with pytest.raises(MovementRefused) as refused:
        add_movement(cast.practice, facts=told | facts)

    assert said in " ".join(refused.value.flaws)
    assert not Movement.objects.filter(practice=cast.practice).exists()


def test_second_of_two_who_change_a_movement_is_told_and_keeps_what_was_typed(cast, library, signed_in):
    own = f.MovementFactory(practice=cast.practice)
    url = reverse("own-movement", args=[own.uuid])
    signed_in(cast.coach).post(url, _typed(number=1, name="First name"))

    answer = signed_in(cast.other_coach).post(url, _typed(number=1, name="Second name"))

    assert answer.status_code == 409
    assert b"Someone else saved this movement meanwhile" in answer.content
    assert b"Second name" in answer.content
    assert MovementRevision.objects.filter(movement=own).count() == 2


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"areas": []}, "areas"),
        ({"cues": "Only one."}, "cues"),
        ({"share_percent": ""}, "share_percent"),
        ({"load_kind": "body_full", "share_percent": 60}, "share_percent"),
        ({"way_1": []}, "way_1"),
        ({"least_rings_height_cm": "190"}, "least_rings_height_cm"),
        ({"way_1": ["bar"], "least_bar_height_cm": "9000"}, "least_bar_height_cm"),
    ],
)
def test_incomplete_movement_is_refused_at_its_field(cast, library, signed_in, changed, field):
    answer = signed_in(cast.coach).post(reverse("new-movement"), _typed(**changed))

    assert field in answer.context["form"].errors
    assert not Movement.objects.filter(practice=cast.practice).exists()


def test_hidden_movement_is_not_offered_until_it_is_shown_again(cast, library, signed_in):
    movement = Movement.objects.get(slug="push-up")
    browser, url = signed_in(cast.coach), reverse("hide-movement", args=[movement.uuid])

    browser.post(url)
    assert "push-up" not in current_movements(cast.practice)
    assert "push-up" in current_movements(cast.other_practice)

    browser.post(url, {"show": "1"})
    assert "push-up" in current_movements(cast.practice)


def test_own_line_leads_on_from_a_shared_movement(cast, library, signed_in):
    answer = signed_in(cast.coach).post(reverse("new-line"), _line(_edge("Pull-up", "Towel hang")))

    edge = ProgressionEdge.objects.get(line__practice=cast.practice)
    assert answer.status_code == 302
    assert (edge.entry_dose["amount_high"], edge.reason) == (5, "Longer lever.")
    page = signed_in(cast.coach).get(reverse("movement", args=[edge.easier.uuid]))
    assert b"Towel hang" in page.content


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([_edge("Pull-up", "Chin-up")], "go in a circle"),
        ([_edge("Push-up", "Incline push-up, hands 60 cm high")], "share falls"),
        ([_edge("Arm circles", "Pull-up")], "has no line"),
        ([_edge("Push-up", "Wide push-up"), _edge("Dead hang", "Towel hang")], "one first step"),
    ],
)
def test_steps_that_make_no_line_are_refused_in_words(cast, library, signed_in, rows, said):
    names = {r.name for r in current_movements(cast.practice).values()}
    rows = [
        row | {"harder": Movement.objects.get(slug="incline-push-up-60cm").current.name}
        if row["harder"] not in names
        else row
        for row in rows
    ]

    answer = signed_in(cast.coach).post(reverse("new-line"), _line(*rows))

    assert answer.status_code == 409
    assert said in answer.content.decode()
    assert not ProgressionLine.objects.filter(practice=cast.practice).exists()


def test_second_of_two_who_change_a_line_is_told(cast, library, signed_in):
    signed_in(cast.coach).post(reverse("new-line"), _line(_edge("Pull-up", "Towel hang")))
    line = ProgressionLine.objects.get(practice=cast.practice)
    url = reverse("own-line", args=[line.uuid])
    signed_in(cast.coach).post(url, _line(_edge("Pull-up", "Towel hang"), name="First", version=1))

    answer = signed_in(cast.other_coach).post(url, _line(_edge("Pull-up", "Towel hang"), name="Second", version=1))

    line.refresh_from_db()
    assert (answer.status_code, line.name, line.version) == (409, "First", 2)
    assert b"Someone else saved this line meanwhile" in answer.content


def test_unknown_movement_is_refused_at_its_field(cast, library, signed_in):
    answer = signed_in(cast.coach).post(reverse("new-line"), _line(_edge("Pull-up", "No such thing")))

    assert b"There is no movement of this name." in answer.content


def test_list_for_a_client_leaves_out_what_is_not_checked_and_what_is_barred(cast, library, signed_in):
    place = f.PlaceFactory(client=cast.client)
    f.EquipmentItemFactory(place=place, kind=ItemKind.BAR, set_up_checked_on=None)
    f.ProtectedAreaFactory(client=cast.client, area="wrist", barred=True)

    answer = signed_in(cast.coach).get(reverse("movements"), {"client": cast.client.uuid})

    listed = {
        m.current.slug if hasattr(m.current, "slug") else m.slug for _l, rows in answer.context["groups"] for m in rows
    }
    assert "chin-up" not in listed
    assert "push-up" not in listed
    assert AccessRecord.objects.filter(client=cast.client, reader=cast.coach).exists()


def test_list_for_a_client_of_others_is_not_found(cast, library, signed_in):
    answer = signed_in(cast.coach).get(reverse("movements"), {"client": cast.stranger_client.uuid})

    assert answer.status_code == 404
