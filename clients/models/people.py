"""Who takes part: sign-ins, practices, their coaches, their clients, and who coaches whom."""

import datetime
import unicodedata
import uuid
from typing import ClassVar
from zoneinfo import ZoneInfo

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.db.models import Exists, OuterRef, Q
from django.db.models.functions import Lower, Now
from django.utils.crypto import salted_hmac

from clients.choices import AssignmentKind, ClientState, LengthUnit, MassUnit, Role, Weekday
from clients.models.base import PracticeRow, Row


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None = None, **extra) -> "User":
        """An account with a proven address: it begins with a letter that arrived, or by whoever runs the machine."""
        from allauth.account.models import EmailAddress  # noqa: PLC0415 -- it points at User

        user = self.model(email=self.normalize_email(email).lower(), **extra)
        user.set_password(password)
        with transaction.atomic(using=self._db):
            user.save(using=self._db)
            EmailAddress.objects.create(user=user, email=user.email, primary=True, verified=True)
        return user

    def create_superuser(self, email: str, password: str | None = None, **extra) -> "User":
        return self.create_user(email, password, is_staff=True, is_superuser=True, **extra)


class User(AbstractBaseUser, PermissionsMixin):
    """A sign-in and nothing more. What a person may do follows from memberships and client rows."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    email = models.EmailField(unique=True)
    name = models.CharField(max_length=200, blank=True)
    is_active = models.BooleanField(default=True)
    is_staff = models.BooleanField(default=False)
    # Demo people have this mark, and production refuses to start where anyone has it.
    is_demo = models.BooleanField(default=False)
    date_joined = models.DateTimeField(auto_now_add=True)
    # Every sign-in, link to a new password and known device from before this is over.
    sessions_ended_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = UserManager()
    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        constraints = [models.UniqueConstraint(Lower("email"), name="user_email_ignores_case")]

    @property
    def display_name(self) -> str:
        return self.name or self.email

    def set_password(self, raw_password: str | None) -> None:
        super().set_password(same_on_every_keyboard(raw_password))

    def check_password(self, raw_password: str | None) -> bool:
        normal = same_on_every_keyboard(raw_password)
        # Passwords from before this was done are kept as they were typed.
        return super().check_password(normal) or (normal != raw_password and super().check_password(raw_password))

    def _get_session_auth_hash(self, secret: str | bytes | None = None) -> str:
        """Django compares this with the one in the session: a change of it ends every session there is."""
        usual: str = super()._get_session_auth_hash(secret=secret)  # type: ignore[misc]
        if self.sessions_ended_at is None:
            return usual
        return salted_hmac("clients.sessions_ended", f"{usual}{self.sessions_ended_at.timestamp()}").hexdigest()


def same_on_every_keyboard(password: str | None) -> str | None:
    """One spelling for what looks the same: an "é" is one character on one keyboard and two on another."""
    return None if password is None else unicodedata.normalize("NFKC", password)


def every_day() -> list[int]:
    return list(range(7))


class Practice(Row):
    """A coach, or a small team of coaches, with the promises they make and the defaults they set."""

    name = models.CharField(max_length=200)
    time_zone = models.CharField(max_length=64, default="UTC")
    mass_unit = models.CharField(max_length=2, choices=MassUnit, default=MassUnit.KG)
    length_unit = models.CharField(max_length=2, choices=LengthUnit, default=LengthUnit.CM)
    check_in_weekday = models.PositiveSmallIntegerField(choices=Weekday, default=Weekday.SUNDAY)
    # Under this age a guardian has to agree before anything else works.
    minimum_age = models.PositiveSmallIntegerField(
        default=18, validators=[MinValueValidator(13), MaxValueValidator(21)]
    )
    review_promise_hours = models.PositiveSmallIntegerField(default=48)
    question_promise_hours = models.PositiveSmallIntegerField(default=48)
    check_in_promise_hours = models.PositiveSmallIntegerField(default=48)
    start_promise_hours = models.PositiveSmallIntegerField(default=48)
    emergency_text_addition = models.TextField(blank=True, max_length=1000)
    # How long a warning sign may lie unopened before the owners are told as well. It runs on the clock, at any hour.
    warning_sign_wait_minutes = models.PositiveSmallIntegerField(
        default=60, validators=[MinValueValidator(5), MaxValueValidator(1440)]
    )
    # Promises run in working time: days as weekday numbers, hours on the practice's clock.
    working_days = models.JSONField(default=every_day)
    working_from = models.TimeField(default=datetime.time(0))
    # Midnight stands for the end of the day.
    working_until = models.TimeField(default=datetime.time(0))
    # The public page for enquiries, when it is open.
    takes_enquiries = models.BooleanField(default=False)
    enquiry_welcome = models.TextField(blank=True, max_length=1000)

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)


class MembershipQuerySet(models.QuerySet["Membership"]):
    def active(self) -> "MembershipQuerySet":
        return self.filter(ended_at=None, user__is_active=True)

    def of(self, user: User) -> "MembershipQuerySet":
        return self.active().filter(user_id=user.pk)

    def owners(self) -> "MembershipQuerySet":
        return self.filter(role=Role.OWNER)


class Membership(PracticeRow):
    """One person's place on a practice's team. Ended, never deleted: history keeps its authors."""

    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role)
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["practice", "user"], condition=Q(ended_at=None), name="one_active_membership"
            )
        ]


class ClientQuerySet(models.QuerySet["Client"]):
    def own(self, user: User) -> "ClientQuerySet":
        """The client rows that are this person."""
        return self.filter(user_id=user.pk)

    def coached_by(self, user: User) -> "ClientQuerySet":
        """Clients this person coaches now: by assignment, or as an owner of the practice."""
        owned = Membership.objects.of(user).owners().filter(practice=OuterRef("practice"))
        assigned = Assignment.objects.current().filter(client=OuterRef("pk"), coach__user=user.pk)
        return self.filter(Exists(owned) | Exists(assigned))

    def owned_by(self, user: User) -> "ClientQuerySet":
        """Clients of the practices that this person owns."""
        return self.filter(practice__in=Membership.objects.of(user).owners().values("practice"))

    def getting_check_in_letters(self) -> "ClientQuerySet":
        """As Client.gets_check_in_letters: the client's wish, and no pause of the coach's."""
        return self.filter(check_in_reminders=True, reminders_paused_at=None)

    def visible_to(self, user: User) -> "ClientQuerySet":
        """Own rows and coached clients. What is not here answers like what is not there."""
        if not user.is_authenticated:
            return self.none()
        coached = Client.objects.coached_by(user).values("pk")
        return self.filter(Q(user_id=user.pk) | Q(pk__in=coached))


class Client(PracticeRow):
    """One person as a client of one practice. The sign-in comes with the accepted invitation."""

    user = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="clients")
    name = models.CharField(max_length=200)
    email = models.EmailField(blank=True)
    state = models.CharField(max_length=10, choices=ClientState, default=ClientState.INVITED)
    time_zone = models.CharField(max_length=64, default="UTC")
    mass_unit = models.CharField(max_length=2, choices=MassUnit, default=MassUnit.KG)
    length_unit = models.CharField(max_length=2, choices=LengthUnit, default=LengthUnit.CM)
    check_in_weekday = models.PositiveSmallIntegerField(choices=Weekday, default=Weekday.SUNDAY)
    # Letters on the check-in day and after it; the client turns them off.
    check_in_reminders = models.BooleanField(default=True)
    # A coach pauses the same letters, beside the client's wish: a letter needs both.
    reminders_paused_at = models.DateTimeField(null=True, blank=True)
    reminders_paused_by = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    # ISO 3166-1 alpha-2 of where the client is now: the emergency number follows it.
    country = models.CharField(max_length=2, blank=True)
    # Somewhere else until that day: the emergency number follows. An empty country is one we know no number of.
    away_country = models.CharField(max_length=2, blank=True)
    away_until = models.DateField(null=True, blank=True)
    body_mass_hidden = models.BooleanField(default=False)
    needs_guardian = models.BooleanField(default=False)
    # Before this day nobody can say how long someone has trained here; trends scale to it.
    training_since = models.DateField(null=True, blank=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    objects = ClientQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["practice", "user"], condition=~Q(user=None), name="one_client_row_per_person"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["enquiry", "invited"]) | ~Q(user=None) | ~Q(erased_at=None),
                name="past_invitation_needs_a_person",
            ),
            models.CheckConstraint(
                condition=Q(reminders_paused_at=None, reminders_paused_by=None)
                | Q(reminders_paused_at__isnull=False, reminders_paused_by__isnull=False),
                name="reminders_paused_by_somebody_at_a_time",
            ),
        ]
        indexes = [models.Index(fields=["practice", "state"])]

    @property
    def gets_check_in_letters(self) -> bool:
        """The client wants them, and no coach has paused them."""
        return self.check_in_reminders and self.reminders_paused_at is None

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)

    def country_on(self, day: datetime.date) -> str:
        """Where the client is that day; empty where nobody knows."""
        return self.away_country if self.away_until is not None and day <= self.away_until else self.country


class ClientStateChange(PracticeRow):
    """A step in a client's history with the practice."""

    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="state_changes")
    from_state = models.CharField(max_length=10, choices=ClientState, blank=True)
    to_state = models.CharField(max_length=10, choices=ClientState)
    at = models.DateTimeField()
    by = models.ForeignKey(User, null=True, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=500, blank=True)

    fact_open_columns: ClassVar[tuple[str, ...]] = ()


class AssignmentQuerySet(models.QuerySet["Assignment"]):
    def current(self) -> "AssignmentQuerySet":
        # The database's clock: access must not depend on which process asks.
        return self.filter(Q(until_at=None) | Q(until_at__gt=Now()), from_at__lte=Now(), coach__ended_at=None)


class Assignment(PracticeRow):
    """A coach works with a client, from and until. Access follows these rows."""

    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="assignments")
    coach = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="assignments")
    kind = models.CharField(max_length=10, choices=AssignmentKind)
    from_at = models.DateTimeField()
    until_at = models.DateTimeField(null=True, blank=True)
    # Time-limited work for someone who is away.
    absence = models.ForeignKey(
        "clients.Absence", null=True, blank=True, on_delete=models.PROTECT, related_name="assignments"
    )

    objects = AssignmentQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["client"], condition=Q(kind="lead", until_at=None), name="one_open_lead_per_client"
            ),
            models.CheckConstraint(
                condition=Q(until_at=None) | Q(until_at__gt=models.F("from_at")),
                name="assignment_ends_after_start",
            ),
        ]


class InvitationQuerySet(models.QuerySet["Invitation"]):
    def open(self) -> "InvitationQuerySet":
        return self.filter(accepted_at=None, revoked_at=None, expires_at__gt=Now())


class Invitation(PracticeRow):
    """A letter that lets one person in, once: as a client, or as a coach. Only the token's hash is kept."""

    email = models.EmailField()
    client = models.ForeignKey(Client, null=True, blank=True, on_delete=models.PROTECT, related_name="invitations")
    role = models.CharField(max_length=10, choices=Role, blank=True)
    token_sha256 = models.CharField(max_length=64, unique=True)
    invited_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=(Q(client=None) & ~Q(role="")) | (~Q(client=None) & Q(role="")),
                name="invited_as_client_or_as_coach",
            )
        ]


class SignInLink(Row):
    """A sign-in that works once. The demo prints them; only the token's hash is kept."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    token_sha256 = models.CharField(max_length=64, unique=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
