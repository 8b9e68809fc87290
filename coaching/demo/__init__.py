"""The demo: an invented practice with dates anchored to today, and one-time links to sign in with."""

# Whom the terminal offers: the owner, a coach, and clients who show much at once. The rest sign in on the page.
OFFERED = (
    "mara@lintel-lane.example",
    "jonte@lintel-lane.example",
    "ilse@client.example",
    "noor@client.example",
    "kaya@client.example",
    "wilhelmina@client.example",
)


def sign_in_links() -> list[tuple[str, str]]:
    """A label and a path, good once, for the few who are offered; last, the page that lists everybody."""
    from django.urls import reverse  # noqa: PLC0415 -- importable before apps are ready
    from django.utils import timezone  # noqa: PLC0415

    from clients.domain.inviting import new_sign_in_link  # noqa: PLC0415
    from clients.models import Membership, User  # noqa: PLC0415

    roles = dict(Membership.objects.active().values_list("user", "role"))
    people = {user.email: user for user in User.objects.filter(is_demo=True, email__in=OFFERED)}
    links = [
        (
            f"{people[email].name}, {roles.get(people[email].pk, 'client')}",
            reverse("sign-in-once", args=[new_sign_in_link(people[email], at=timezone.now())]),
        )
        for email in OFFERED
        if email in people
    ]
    return [*links, ("Everybody else and what is true of each", reverse("sign-in"))]
