"""The desk's pages: what a coach sees, and what another coach does not."""

import pytest
from django.urls import reverse

from coaching.domain.rebuild import rebuild_client
from coaching.models import AttentionItem, Suggestion, SuggestionDecision
from programs.models import Block
from tests import factories as f
from tests.coaching import scenario as s

pytestmark = pytest.mark.django_db


@pytest.fixture
def trained(cast):
    scenario = s.build(cast.client, load_entered=40, load_unit="kg", load_kg=40)
    s.log_all(scenario, [10, 10, 12])
    rebuild_client(cast.client, at=s.AT)
    return scenario


def test_desk_names_client_and_reason(signed_in, cast, trained):
    page = signed_in(cast.coach).get(reverse("desk")).content.decode()

    assert cast.client.name in page
    assert AttentionItem.objects.first().reason.split("“")[0] in page.replace("&#x27;", "'")


def test_desk_of_another_coach_shows_nothing_of_it(signed_in, cast, trained):
    page = signed_in(cast.other_coach).get(reverse("desk")).content.decode()

    assert cast.client.name not in page


def test_handled_item_goes_and_comes_back_with_new_numbers(signed_in, cast, trained):
    item = AttentionItem.objects.first()
    client = signed_in(cast.coach)
    client.post(reverse("put-away", args=[item.uuid]))
    gone = item.reason not in client.get(reverse("desk")).content.decode()

    AttentionItem.objects.filter(pk=item.pk).update(numbers={"new": 1})

    rows = client.get(reverse("desk")).context["rows"]
    assert gone
    assert item in [i for row in rows for i in row.items]


def test_put_away_answers_htmx_with_the_list(signed_in, cast, trained):
    item = AttentionItem.objects.first()

    response = signed_in(cast.coach).post(reverse("put-away", args=[item.uuid]), HTTP_HX_REQUEST="true")

    assert response.content.decode().lstrip().startswith('<div id="attention">')


def test_answer_that_is_none_is_a_bad_request(signed_in, cast, trained):
    item = AttentionItem.objects.first()

    response = signed_in(cast.coach).post(reverse("put-away", args=[item.uuid]), {"answer": "perhaps"})

    assert response.status_code == 400


@pytest.mark.parametrize("who", ["other_coach", "stranger_coach", "other_client_user", "client_user"])
@pytest.mark.parametrize("name", ["client", "next-block", "accept-all-suggestions", "decide-suggestion", "put-away"])
def test_pages_about_a_client_are_not_there_for_others(signed_in, cast, trained, who, name):
    subject = {"decide-suggestion": Suggestion, "put-away": AttentionItem}.get(name)
    uuid = subject.objects.first().uuid if subject else cast.client.uuid
    client = signed_in(getattr(cast, who))

    response = client.get(reverse(name, args=[uuid])) if name == "client" else client.post(reverse(name, args=[uuid]))

    assert response.status_code == 404


def test_progress_page_shows_suggestion_with_evidence(signed_in, cast, trained):
    page = signed_in(cast.coach).get(reverse("client", args=[cast.client.uuid])).content.decode()

    assert "42 kg" in page
    assert "2-for-2 rule" in page


def test_accepting_all_then_next_block_leads_to_publishing(signed_in, cast, trained):
    client = signed_in(cast.coach)
    client.post(reverse("accept-all-suggestions", args=[cast.client.uuid]))

    response = client.post(reverse("next-block", args=[cast.client.uuid]))

    draft = Block.objects.get(previous__isnull=False)
    assert response.url == reverse("publish-block", args=[draft.uuid])


def test_edit_that_is_harder_without_reason_is_told_at_the_field(signed_in, cast, trained):
    suggestion = Suggestion.objects.get()
    sent = {f"{suggestion.uuid}-{name}": value for name, value in
            {"decided": "edited", "sets": 3, "amount": 10, "load": "44"}.items()}  # fmt: skip

    response = signed_in(cast.coach).post(reverse("decide-suggestion", args=[suggestion.uuid]), sent)

    assert response.status_code == 422
    assert "Harder than the rules suggest" in response.content.decode()
    assert not SuggestionDecision.objects.exists()


def test_desk_query_count_does_not_grow_with_clients(signed_in, cast, trained, django_assert_max_num_queries):
    client = signed_in(cast.coach)
    for _ in range(5):
        person = f.ClientFactory(practice=cast.practice)
        f.AssignmentFactory(client=person, coach=cast.coach_membership)
        rebuild_client(person, at=s.AT)

    with django_assert_max_num_queries(14):
        client.get(reverse("desk"))


def test_home_sends_everyone_where_the_day_starts(signed_in, cast):
    assert signed_in(cast.coach).get(reverse("home")).url == reverse("desk")
    assert signed_in(cast.client_user).get(reverse("home")).url == reverse("my-home")
