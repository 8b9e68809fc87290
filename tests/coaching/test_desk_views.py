"""The desk's pages: what a coach sees, and what another coach does not."""

import uuid

import pytest
from django.urls import reverse

from coaching.domain.rebuild import rebuild_client
from coaching.models import AttentionDecision, AttentionItem, Suggestion, SuggestionDecision
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
    item = AttentionItem.objects.get(kind="block_ending")
    client = signed_in(cast.coach)
    client.post(reverse("put-away", args=[item.uuid]))
    gone = item.reason not in client.get(reverse("desk")).content.decode()
    AttentionDecision.objects.update(is_current=False)
    f.AttentionDecisionFactory(client=cast.client, key=item.key, numbers={"ends_on": "2026-03-20"})

    rebuild_client(cast.client, at=s.AT)

    assert gone
    assert item.reason in client.get(reverse("desk")).content.decode()


def test_rebuild_keeps_away_what_was_put_away(signed_in, cast, trained):
    item = AttentionItem.objects.get(kind="block_ending")
    client = signed_in(cast.coach)
    client.post(reverse("put-away", args=[item.uuid]))

    rebuild_client(cast.client, at=s.AT)

    assert item.reason not in client.get(reverse("desk")).content.decode()


def test_put_away_answers_htmx_with_what_stands_in_that_place(signed_in, cast, trained):
    item = AttentionItem.objects.first()

    response = signed_in(cast.coach).post(reverse("put-away", args=[item.uuid]), HTTP_HX_REQUEST="true")

    assert response.content.decode().lstrip().startswith(f'<li class="desk-row" id="attention-{cast.client.uuid}">')


def test_reason_that_changed_meanwhile_is_not_put_away(signed_in, cast, trained):
    item = AttentionItem.objects.first()
    AttentionItem.objects.filter(pk=item.pk).update(uuid=uuid.uuid4(), reason="Newer numbers.")

    response = signed_in(cast.coach).post(
        reverse("put-away", args=[item.uuid]), {"client": cast.client.uuid}, HTTP_HX_REQUEST="true"
    )

    assert "Newer numbers." in response.content.decode()
    assert not AttentionDecision.objects.exists()


def test_put_away_without_script_goes_back_to_the_same_page(signed_in, cast, trained):
    item = AttentionItem.objects.first()
    after = f"0.2026-03-04.{uuid.UUID(int=0)}"

    response = signed_in(cast.coach).post(reverse("put-away", args=[item.uuid]), {"after": after})

    assert response.url == f"{reverse('desk')}?after={after}#attention"


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


def test_home_sends_everyone_where_the_day_starts(signed_in, cast):
    assert signed_in(cast.coach).get(reverse("home")).url == reverse("desk")
    assert signed_in(cast.client_user).get(reverse("home")).url == reverse("my-home")
