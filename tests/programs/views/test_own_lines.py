import pytest
from django.urls import reverse

from programs.domain.graph import graph_of
from programs.domain.library import load_library
from programs.domain.own_lines import OwnEdge, save_line, without_step
from programs.errors import LineRefused
from programs.models import Movement, ProgressionLine
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def library():
    load_library()


def shared(slug="row-line"):
    return ProgressionLine.objects.get(practice=None, slug=slug)


def step(slug):
    return Movement.objects.get(slug=slug, practice=None)


def sent(page):
    """What the page would send when nothing is changed."""
    forms = [page.context["form"], page.context["edges"].management_form, *page.context["edges"]]
    values = {field.html_name: field.value() for form in forms for field in form}
    return {name: "" if value is None else value for name, value in values.items()}


def links(practice):
    return {(link.easier, link.harder) for link in graph_of(practice)[0].links}


def take_out(browser, slug, line="row-line"):
    page = browser.get(reverse("our-line", args=[shared(line).uuid]), {"without": str(step(slug).uuid)})
    return browser.post(page.request["PATH_INFO"], sent(page))


def test_step_taken_out_is_stepped_over_here_and_nowhere_else(cast, library, signed_in):
    answer = take_out(signed_in(cast.coach), "ring-row-60deg")

    assert answer.status_code == 302, answer.context["flaws"]
    ours, theirs = links(cast.practice), links(cast.other_practice)
    assert ("ring-row-45deg", "ring-row-75deg") in ours
    assert ("ring-row-60deg", "ring-row-75deg") not in ours
    assert ("ring-row-60deg", "ring-row-75deg") in theirs
    assert ("ring-row-45deg", "ring-row-75deg") not in theirs


def test_new_edge_over_the_gap_has_the_dose_and_reason_of_the_one_it_stands_for(cast, library):
    edges = [OwnEdge(row.easier, row.harder, row.entry_dose, row.reason) for row in shared().edges.all()]
    before = next(edge for edge in edges if edge.easier.slug == "ring-row-60deg")

    bridged = without_step(edges, step("ring-row-60deg"))

    over = next(
        edge for edge in bridged if (edge.easier.slug, edge.harder.slug) == ("ring-row-45deg", "ring-row-75deg")
    )
    assert (over.entry_dose, over.reason) == (before.entry_dose, before.reason)
    assert len(bridged) == len(edges) - 1


@pytest.mark.parametrize("line", ["pull-up-line", "row-line", "squat-line", "bridge-line"])
def test_any_step_but_none_else_can_be_taken_out_of_a_shared_line(cast, library, line):
    edges = [OwnEdge(row.easier, row.harder, row.entry_dose, row.reason) for row in shared(line).edges.all()]
    steps = {movement for edge in edges for movement in (edge.easier, edge.harder)}
    firsts = steps - {edge.harder for edge in edges}
    for out in steps - firsts:
        kept = without_step(edges, out)

        assert {m for edge in kept for m in (edge.easier, edge.harder)} == steps - {out}


def test_what_the_practice_hid_is_stepped_over_in_its_version(cast, library, signed_in):
    f.HiddenMovementFactory(practice=cast.practice, movement=step("ring-row-60deg"), by=cast.owner)
    browser = signed_in(cast.coach)
    page = browser.get(reverse("our-line", args=[shared().uuid]))

    browser.post(page.request["PATH_INFO"], sent(page))

    assert ("ring-row-45deg", "ring-row-75deg") in links(cast.practice)


def test_cut_that_leaves_steps_without_a_way_to_them_is_refused(cast, library, signed_in):
    browser = signed_in(cast.coach)
    page = browser.get(reverse("our-line", args=[shared().uuid]))
    told = sent(page)
    name = step("ring-row-60deg").current.name
    for key, value in list(told.items()):
        if value == name and key.endswith("harder"):
            told |= {key: "", key.replace("harder", "easier"): ""}

    answer = browser.post(page.request["PATH_INFO"], told)

    assert answer.status_code == 409
    assert "one first step" in answer.content.decode()
    assert not ProgressionLine.objects.filter(practice=cast.practice).exists()


def test_removing_our_version_brings_the_shared_line_back(cast, library, signed_in):
    browser = signed_in(cast.coach)
    take_out(browser, "ring-row-60deg")
    before = links(cast.other_practice)

    browser.post(reverse("remove-line", args=[ProgressionLine.objects.get(practice=cast.practice).uuid]))

    assert links(cast.practice) == before


def test_version_is_not_removed_while_that_would_make_a_circle(cast, library, signed_in):
    browser = signed_in(cast.coach)
    take_out(browser, "inverted-row-paused")
    # The other way round, which only their version allows.
    dose = {"sets": 2, "amount_low": 3, "amount_high": 5, "target_rir": 3}
    save_line(cast.practice, name="Round", edges=[OwnEdge(step("inverted-row-paused"), step("inverted-row"), dose)])
    version = ProgressionLine.objects.get(practice=cast.practice, slug="row-line")

    answer = browser.post(reverse("remove-line", args=[version.uuid]))

    assert answer.url == reverse("own-line", args=[version.uuid])
    assert ProgressionLine.objects.filter(pk=version.pk).exists()


def test_circle_over_an_own_version_of_a_movement_is_seen(cast, library):
    ours = f.MovementFactory(slug="pull-up", practice=cast.practice)

    with pytest.raises(LineRefused) as refused:
        save_line(cast.practice, name="Round", edges=[OwnEdge(ours, step("chin-up"), {})])

    assert [str(flaw) for flaw in refused.value.flaws] == ["Together with the other lines this would go in a circle."]


def test_new_line_with_the_name_of_a_shared_one_does_not_take_its_place(cast, library):
    dose = {"sets": 2, "amount_low": 3, "amount_high": 5, "target_rir": 3}
    save_line(cast.practice, name="Row line", edges=[OwnEdge(step("pull-up"), step("towel-hang"), dose)])

    assert ("ring-row-45deg", "ring-row-60deg") in links(cast.practice)


def test_second_who_makes_a_version_finds_the_first(cast, library, signed_in):
    page = signed_in(cast.other_coach).get(reverse("our-line", args=[shared().uuid]))
    told = sent(page)
    take_out(signed_in(cast.coach), "ring-row-60deg")

    answer = signed_in(cast.other_coach).post(page.request["PATH_INFO"], told)

    assert answer.url == reverse("own-line", args=[ProgressionLine.objects.get(practice=cast.practice).uuid])
    assert ("ring-row-60deg", "ring-row-75deg") not in links(cast.practice)


def test_list_of_lines_offers_to_take_steps_out(cast, library, signed_in):
    page = signed_in(cast.coach).get(reverse("lines")).content.decode()

    assert f"?without={step('ring-row-60deg').uuid}" in page
