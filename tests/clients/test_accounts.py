"""One's own account: the address, the password, second factors, sessions, and the letters about them."""

import datetime
import re
from io import StringIO

import pytest
import time_machine
from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value
from allauth.usersessions.models import UserSession
from django.core import mail
from django.core.management import CommandError, call_command
from django.test import Client as Browser
from django.test import TestCase
from django.urls import resolve, reverse
from django.utils import timezone

from clients.domain.inviting import new_sign_in_link
from clients.domain.sessions import end_all_sessions, session_name, take_second_factors_away
from clients.models import OutgoingMail, SignInLink, User
from tests import factories as f

pytestmark = pytest.mark.django_db
NEW = "an owl sits in the rafters"
FIREFOX = "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0"


@pytest.fixture
def person():
    return f.MembershipFactory(user__name="Ada").user


def browser_of(user, password=f.PASSWORD, **headers):
    """A browser that signed in through the page."""
    browser = Browser(headers={"User-Agent": FIREFOX} | headers)
    browser.post(reverse("sign-in"), {"login": user.email, "password": password})
    return browser


def confirmed(user):
    """Signed in, and asked for the password once more."""
    browser = browser_of(user)
    browser.post(reverse("account_reauthenticate"), {"password": f.PASSWORD})
    return browser


def is_in(browser):
    return browser.get(reverse("account")).status_code == 200


def letters_to(address):
    return list(OutgoingMail.objects.filter(to=address).order_by("pk"))


def link_in(letter):
    """The path of the one link in a letter."""
    return re.search(r"http://[^/]+(/\S+)", letter.body).group(1)


def turn_app_on(browser):
    """The secret, when the app is on. The library writes its letters after the commit."""
    page = browser.get(reverse("mfa_activate_totp"))
    secret = page.context["form"].secret
    with TestCase.captureOnCommitCallbacks(execute=True):
        browser.post(reverse("mfa_activate_totp"), {"code": code_of(secret)})
    return secret


def code_of(secret):
    return format_hotp_value(hotp_value(secret, int(datetime.datetime.now().timestamp()) // 30))


# Beginning and signing in


@pytest.mark.parametrize("path", ["/signup/", "/account/signup/", "/accounts/signup/", "/sign-up/"])
def test_nobody_makes_an_account_by_themself(client, path):
    assert client.get(path).status_code == 404


def test_address_is_any_case_at_sign_in(person):
    browser = Browser()

    browser.post(reverse("sign-in"), {"login": person.email.upper(), "password": f.PASSWORD})

    assert is_in(browser)


def test_sign_in_leads_to_where_one_wanted_to_go(person):
    sent = {"login": person.email, "password": f.PASSWORD, "next": reverse("clients")}

    assert Browser().post(reverse("sign-in"), sent)["Location"] == reverse("clients")


def test_sign_in_leads_to_no_other_house(person):
    sent = {"login": person.email, "password": f.PASSWORD, "next": "https://elsewhere.example/"}

    assert Browser().post(reverse("sign-in"), sent)["Location"] == reverse("home")


def test_closed_account_is_told_so_only_with_the_right_password(person):
    User.objects.filter(pk=person.pk).update(is_active=False)

    wrong = Browser().post(reverse("sign-in"), {"login": person.email, "password": "some other words"})
    right = Browser().post(reverse("sign-in"), {"login": person.email, "password": f.PASSWORD}, follow=True)

    assert ("closed" in wrong.content.decode(), "closed" in right.content.decode()) == (False, True)


@pytest.mark.parametrize(
    "login", ["x" * 400 + "@example.test", "🦉@example.test", "not an address", "a\x00b@c.example"]
)
def test_odd_address_is_answered_with_the_page(client, login):
    assert client.post(reverse("sign-in"), {"login": login, "password": "🦉" * 20}).status_code == 200


def test_second_press_of_sign_in_still_leads_in(person):
    browser = browser_of(person)

    again = browser.post(reverse("sign-in"), {"login": person.email, "password": f.PASSWORD})

    assert (again.status_code, is_in(browser)) == (302, True)


def test_sign_in_from_a_second_tab_is_in_already(person):
    browser = Browser(enforce_csrf_checks=True)
    token = browser.get(reverse("sign-in")).context["csrf_token"]
    sent = {"login": person.email, "password": f.PASSWORD, "csrfmiddlewaretoken": str(token)}
    browser.post(reverse("sign-in"), sent)

    answer = browser.post(reverse("sign-in"), sent)

    assert (answer.status_code, answer["Location"]) == (302, reverse("home"))


def test_sign_in_form_of_another_house_is_refused(person):
    answer = Browser(enforce_csrf_checks=True).post(reverse("sign-in"), {"login": person.email, "password": f.PASSWORD})

    assert answer.status_code == 403


def test_account_of_an_invited_person_has_a_proven_address(person):
    assert list(EmailAddress.objects.filter(user=person).values_list("email", "verified", "primary")) == [
        (person.email, True, True)
    ]


def test_sign_in_on_a_new_device_is_told_once_and_names_the_device(person):
    browser = browser_of(person)
    browser.post(reverse("sign-out"))
    browser.post(reverse("sign-in"), {"login": person.email, "password": f.PASSWORD})

    (letter,) = letters_to(person.email)

    assert "Firefox on Linux" in letter.body


# The password


def test_reset_is_answered_alike_for_known_and_unknown_addresses(person):
    answers = [
        Browser().post(reverse("account_reset_password"), {"email": email}, follow=True)
        for email in (person.email, "nobody@example.test")
    ]

    of_this_answer = r"""(nonce="|name="csrf-token" content="|value=")[^"]+"""
    bodies = [re.sub(of_this_answer, "", answer.content.decode()) for answer in answers]
    assert [answer.redirect_chain for answer in answers] == [[(reverse("account_reset_password_done"), 302)]] * 2
    assert bodies[0] == bodies[1]


def test_unknown_address_gets_no_letter():
    Browser().post(reverse("account_reset_password"), {"email": "nobody@example.test"})

    assert (OutgoingMail.objects.count(), mail.outbox) == (0, [])


def test_strangers_cannot_fill_a_mailbox_nor_close_the_page(person):
    answers = [
        Browser().post(reverse("account_reset_password"), {"email": person.email}, REMOTE_ADDR=f"192.0.2.{n}")
        for n in range(1, 9)
    ]

    assert {answer["Location"] for answer in answers} == {reverse("account_reset_password_done")}
    assert len(letters_to(person.email)) == 3


def reset_link(user):
    Browser().post(reverse("account_reset_password"), {"email": user.email})
    return link_in(letters_to(user.email)[-1])


def choose(link, password=NEW):
    browser = Browser()
    page = browser.get(link, follow=True)
    if "action_url" in page.context and page.context.get("form"):
        return browser.post(page.request["PATH_INFO"], {"password1": password}, follow=True)
    return page


def test_link_sets_a_new_password_and_ends_every_session(person):
    before = browser_of(person)

    choose(reset_link(person))

    assert (is_in(before), is_in(browser_of(person, NEW)), is_in(browser_of(person))) == (False, True, False)


def test_link_works_once(person):
    link = reset_link(person)
    choose(link)

    choose(link, "quite another set of words")

    assert not is_in(browser_of(person, "quite another set of words"))


def test_link_runs_out_after_an_hour(person):
    link = reset_link(person)
    with time_machine.travel(timezone.now() + datetime.timedelta(minutes=61)):
        choose(link)

    person.refresh_from_db()
    assert not person.check_password(NEW)


def test_link_carries_no_primary_key(person):
    assert resolve(reset_link(person)).kwargs["uidb36"] == person.uuid.hex


def test_opening_the_link_changes_nothing(person):
    Browser().get(reset_link(person), follow=True)

    person.refresh_from_db()
    assert person.check_password(f.PASSWORD)


def test_new_password_by_link_obeys_the_rules(person):
    choose(reset_link(person), "too short")

    person.refresh_from_db()
    assert person.check_password(f.PASSWORD)


def test_changed_password_ends_other_sessions_keeps_this_one_and_is_told(person):
    here, there = browser_of(person), browser_of(person)

    here.post(reverse("account_change_password"), {"oldpassword": f.PASSWORD, "password1": NEW})

    assert (is_in(here), is_in(there)) == (True, False)
    assert letters_to(person.email)[-1].subject == "Your password was changed"


def test_password_is_not_changed_without_the_present_one(person):
    browser_of(person).post(reverse("account_change_password"), {"oldpassword": "a wrong one", "password1": NEW})

    person.refresh_from_db()
    assert person.check_password(f.PASSWORD)


def test_letter_to_somebody_without_any_practice_goes_out_at_once():
    user = f.UserFactory()

    Browser().post(reverse("account_reset_password"), {"email": user.email})

    assert [letter.to for letter in mail.outbox] == [[user.email]]


# The address


def ask_for_address(browser, email="new@example.test"):
    return browser.post(reverse("account_email"), {"email": email, "action_add": ""})


def test_new_address_counts_only_when_its_letter_was_answered(person):
    former = person.email
    browser = confirmed(person)
    ask_for_address(browser)
    person.refresh_from_db()
    assert person.email == former

    browser.post(link_in(letters_to("new@example.test")[-1]))

    person.refresh_from_db()
    assert person.email == "new@example.test"


def test_former_address_is_told_of_the_change(person):
    former = person.email
    browser = confirmed(person)
    ask_for_address(browser)
    browser.post(link_in(letters_to("new@example.test")[-1]))

    assert "new@example.test" in letters_to(former)[-1].body


def test_opening_the_letter_to_a_new_address_changes_nothing(person):
    former = person.email
    browser = confirmed(person)
    ask_for_address(browser)

    browser.get(link_in(letters_to("new@example.test")[-1]))

    person.refresh_from_db()
    assert person.email == former


def test_address_of_somebody_else_is_never_taken_over(person):
    other = f.UserFactory()
    browser = confirmed(person)
    ask_for_address(browser, other.email)
    link = link_in(letters_to(other.email)[-1])

    browser.post(link)

    assert User.objects.get(email=other.email) == other


def test_letters_of_a_client_follow_to_the_new_address():
    someone = f.ClientFactory()
    user = someone.user
    type(someone).objects.filter(pk=someone.pk).update(email=user.email)
    browser = confirmed(user)
    ask_for_address(browser)

    browser.post(link_in(letters_to("new@example.test")[-1]))

    someone.refresh_from_db()
    assert someone.email == "new@example.test"


def test_change_of_address_asks_for_the_password_again(person):
    answer = ask_for_address(browser_of(person))

    assert answer["Location"].startswith(reverse("account_reauthenticate"))


def test_change_of_address_goes_on_after_the_password(person):
    browser = browser_of(person)
    asked = ask_for_address(browser)

    browser.post(asked["Location"], {"password": f.PASSWORD})

    assert len(letters_to("new@example.test")) == 1


# Second factors


def test_app_is_turned_on_told_and_asked_for(person):
    browser = confirmed(person)
    secret = turn_app_on(browser)

    other = browser_of(person)

    assert letters_to(person.email)[-1].subject == "Codes from an app are needed to sign in now"
    assert not is_in(other)
    with time_machine.travel(timezone.now() + datetime.timedelta(seconds=31)):
        other.post(reverse("mfa_authenticate"), {"code": code_of(secret)})
    assert is_in(other)


def test_code_is_good_once_even_while_it_would_still_count(person):
    secret = turn_app_on(confirmed(person))
    start = timezone.now() + datetime.timedelta(seconds=90)
    with time_machine.travel(start, tick=False) as clock:
        code = code_of(secret)
        browser_of(person).post(reverse("mfa_authenticate"), {"code": code})
        clock.shift(31)
        again = browser_of(person)
        again.post(reverse("mfa_authenticate"), {"code": code})
        assert not is_in(again)


def test_recovery_code_is_shown_once_and_good_once(person):
    browser = confirmed(person)
    turn_app_on(browser)
    code = browser.get(reverse("mfa_view_recovery_codes")).context["unused_codes"][0]

    first, second = browser_of(person), browser_of(person)
    for each in (first, second):
        each.post(reverse("mfa_authenticate"), {"code": code})

    assert code not in browser.get(reverse("mfa_view_recovery_codes")).content.decode()
    assert (is_in(first), is_in(second)) == (True, False)


def test_new_recovery_codes_void_the_old_ones_and_are_told(person):
    browser = confirmed(person)
    turn_app_on(browser)
    old = browser.get(reverse("mfa_view_recovery_codes")).context["unused_codes"][0]

    with TestCase.captureOnCommitCallbacks(execute=True):
        browser.post(reverse("mfa_generate_recovery_codes"))

    other = browser_of(person)
    other.post(reverse("mfa_authenticate"), {"code": old})
    subjects = [letter.subject for letter in letters_to(person.email)]
    assert not is_in(other)
    assert "New recovery codes were made; the old ones are void" in subjects


def test_secrets_are_not_readable_in_the_database(person):
    secret = turn_app_on(confirmed(person))

    kept = [str(factor.data) for factor in Authenticator.objects.filter(user=person)]

    assert len(kept) == 2
    assert not any(secret in data for data in kept)


def test_secret_kept_under_another_key_lets_nobody_in(person, settings):
    secret = turn_app_on(confirmed(person))
    settings.SECRET_KEY = "another key than before " * 3
    other = browser_of(person)

    with time_machine.travel(timezone.now() + datetime.timedelta(seconds=31)):
        other.post(reverse("mfa_authenticate"), {"code": code_of(secret)})

    assert not is_in(other)


@pytest.mark.parametrize(
    "name", ["mfa_activate_totp", "mfa_add_webauthn", "mfa_generate_recovery_codes", "account_email"]
)
def test_what_protects_the_account_is_not_changed_without_asking_again(person, name):
    answer = browser_of(person).post(reverse(name), {"email": "x@example.test", "action_add": "", "code": "123456"})

    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("account_reauthenticate"))


def test_somebody_elses_passkey_is_not_there(person):
    other = f.UserFactory()
    Authenticator.objects.create(user=other, type="webauthn", data={"name": "Theirs", "credential": {"id": "abc"}})

    answer = confirmed(person).post(reverse("remove-passkey", args=["abc"]))

    assert (answer.status_code, Authenticator.objects.filter(user=other).count()) == (404, 1)


@pytest.mark.parametrize("sent", ["", "{}", "[]", "null", '{"response": {"userHandle": "????"}}', "not json", "7"])
def test_passkey_that_is_none_is_refused(client, sent):
    client.get(reverse("mfa_login_webauthn"), headers={"Accept": "application/json"})

    answer = client.post(reverse("mfa_login_webauthn"), {"credential": sent})

    assert (answer.status_code, answer["Location"]) == (302, reverse("sign-in"))


def test_question_to_a_passkey_names_no_person(client):
    asked = client.get(reverse("mfa_login_webauthn"), headers={"Accept": "application/json"}).json()

    assert not asked["request_options"]["publicKey"].get("allowCredentials")


def test_coach_without_a_second_factor_is_advised_and_not_forced(person):
    page = browser_of(person).get(reverse("account"))

    assert page.context["advised"]
    assert browser_of(person).get(reverse("desk")).status_code == 200


def test_client_is_not_pressed(signed_in):
    page = signed_in(f.ClientFactory().user).get(reverse("account"))

    assert not page.context["advised"]


# Sessions


def test_sessions_are_listed_in_plain_words_and_this_one_is_named(person):
    browser_of(
        person, **{"User-Agent": "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) Version/18.0 Safari/604"}
    )
    here = browser_of(person)

    shown = here.get(reverse("account")).context["sessions"]

    assert {(each["device"], each["is_this"]) for each in shown} == {
        ("Firefox on Linux", True),
        ("Safari on iPhone", False),
    }


def test_page_never_carries_the_key_of_a_session(person):
    browser = browser_of(person)

    page = browser.get(reverse("account")).content.decode()

    assert not [row for row in UserSession.objects.all() if row.session_key in page]


def test_another_session_is_ended(person):
    there, here = browser_of(person), browser_of(person)
    row = UserSession.objects.get(session_key=there.session.session_key)

    here.post(reverse("end-session"), {"session": session_name(row)})

    assert (is_in(here), is_in(there)) == (True, False)


def test_session_of_somebody_else_is_not_ended(person):
    theirs = browser_of(f.UserFactory())
    row = UserSession.objects.get(session_key=theirs.session.session_key)

    browser_of(person).post(reverse("end-session"), {"session": session_name(row)})

    assert is_in(theirs)


def test_all_others_are_ended(person):
    others = [browser_of(person), browser_of(person)]
    here = browser_of(person)

    here.post(reverse("end-other-sessions"))

    assert [is_in(each) for each in [here, *others]] == [True, False, False]


def test_ending_all_sessions_signs_out_everywhere_also_what_is_on_no_list(person):
    listed, unlisted = browser_of(person), Browser()
    unlisted.force_login(person)

    end_all_sessions(person, at=timezone.now())

    assert (is_in(listed), is_in(unlisted)) == (False, False)


def test_ending_all_sessions_ends_links_to_a_new_password(person):
    link = reset_link(person)

    end_all_sessions(person, at=timezone.now())
    choose(link)

    person.refresh_from_db()
    assert person.check_password(f.PASSWORD)


def test_ending_all_sessions_ends_one_time_links(person):
    new_sign_in_link(person, at=timezone.now())

    end_all_sessions(person, at=timezone.now())

    assert not SignInLink.objects.filter(user=person, used_at=None).exists()


def test_ending_all_sessions_forgets_devices(person):
    browser = browser_of(person)

    end_all_sessions(person, at=timezone.now())
    browser.post(reverse("sign-in"), {"login": person.email, "password": f.PASSWORD})

    assert len([letter for letter in letters_to(person.email) if "new device" in letter.subject]) == 2


def test_person_signs_in_again_after_all_sessions_were_ended(person):
    end_all_sessions(person, at=timezone.now())

    assert is_in(browser_of(person))


def test_lost_second_factors_are_taken_away_by_whoever_runs_the_machine(person):
    browser = confirmed(person)
    turn_app_on(browser)

    take_second_factors_away(person, at=timezone.now())

    assert (is_in(browser), is_in(browser_of(person))) == (False, True)


# Being invited


def test_right_to_left_name_is_kept_and_shown(person):
    User.objects.filter(pk=person.pk).update(name="ليلى بنت الجبل")

    assert is_in(browser_of(person))


def test_no_letter_about_an_account_links_to_what_changes_by_opening(person):
    browser = confirmed(person)
    turn_app_on(browser)
    reset_link(person)
    before = User.objects.filter(pk=person.pk).values("password", "email").get()

    for letter in letters_to(person.email):
        assert Browser().get(link_in(letter), follow=True).status_code == 200

    assert User.objects.filter(pk=person.pk).values("password", "email").get() == before


def test_command_for_lost_second_factors_names_who_is_unknown(person):
    turn_app_on(confirmed(person))

    call_command("take_second_factors", person.email.upper(), stdout=StringIO())

    assert is_in(browser_of(person))
    with pytest.raises(CommandError, match="Nobody signs in"):
        call_command("take_second_factors", "nobody@example.test")
