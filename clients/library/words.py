"""What the outcome, the warning signs and the pain table say, in plain words."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from methods.pain import PainAction

# Beside every box of free text.
NOT_READ = _("This is not read continuously. In an emergency call your local emergency number.")


@dataclass(frozen=True)
class OutcomeWords:
    title: Promise
    text: Promise
    next: Promise


_CLEAR = OutcomeWords(
    _("You can start"),
    _("Nothing in your answers asks for a doctor's word first. You start with light to moderate effort and build up."),
    _("Your coach writes your first block within %(hours)s hours and you get a letter when it is there."),
)
_CLEARANCE = OutcomeWords(
    _("First a doctor's word"),
    _(
        "Some of your answers ask for a clearance from a licensed professional before you train. Please make an "
        "appointment, show them your answers, and ask what you may do and what not."
    ),
    _(
        "Tell your coach what they said: their role, the date and the limits. Your coach is told today and answers "
        "within %(hours)s hours; the first block comes when the clearance is recorded."
    ),
)

OUTCOMES: dict[str, OutcomeWords] = {
    "N1": _CLEAR,
    "N2": _CLEARANCE,
    "N3": _CLEARANCE,
    "R1": OutcomeWords(
        _("You can go on"),
        _("Nothing in your answers asks for a doctor's word first. You may go on as hard as you do, and build up."),
        _CLEAR.next,
    ),
    "R2": OutcomeWords(
        _("You can go on, with moderate effort"),
        _(
            "With what you told us, moderate effort is fine. Hard effort needs a clearance from a licensed "
            "professional that is not older than a year."
        ),
        _CLEAR.next,
    ),
    "R3": OutcomeWords(
        _("Please stop training for now"),
        _(
            "You noticed signs that a licensed professional should look at before you go on. Please stop training "
            "and make an appointment soon; when it gets worse or comes suddenly, call your local emergency number."
        ),
        _CLEARANCE.next,
    ),
}
REFER_FIRST = OutcomeWords(_("First a professional's word"), _CLEARANCE.text, _CLEARANCE.next)
INCOMPLETE = OutcomeWords(
    _("Some answers are missing"),
    _("Without them nobody can say whether it is safe to start. A missing answer is never taken as a no."),
    _("Go back to the questions; your coach waits for them."),
)

CRISIS_TEXT = _(
    "If you think about harming yourself or ending your life: you are not alone, and you can talk to someone right "
    "now. Call your local emergency number or a local crisis line, or go to the nearest emergency department. If you "
    "can, tell somebody near you."
)
SEEK_CARE_TEXT = _(
    "You ticked a warning sign. Stop what you are doing and get medical advice today. A coach cannot judge it, and "
    "this page names no illness and rules none out."
)


@dataclass(frozen=True)
class PainWords:
    title: Promise
    text: Promise


PAIN: dict[str, PainWords] = {
    PainAction.STOP_REFER: PainWords(
        _("Stop, and ask a professional"),
        _("Please stop training this area and let a licensed professional look at it before you go on."),
    ),
    PainAction.STOP_EXERCISE: PainWords(
        _("Stop this movement"),
        _("More than 5 of 10 is too much. Stop this movement today; your coach looks at it and makes it easier."),
    ),
    PainAction.REDUCE: PainWords(
        _("Do less next time"),
        _("It stayed or grew. The next session gets less of this; your coach is told."),
    ),
    PainAction.CONTINUE_NO_PROGRESSION: PainWords(
        _("Go on, but no harder"),
        _("Up to 5 of 10 that settles by the next morning is acceptable. Nothing gets harder until it is less."),
    ),
    PainAction.CONTINUE: PainWords(_("You can go on"), _("At most 2 of 10 and settled by the morning: go on.")),
    PainAction.PENDING: PainWords(
        _("Go easy, and tell us tomorrow"),
        _("Keep it at 5 of 10 or less, and stop when it grows. What comes next depends on tomorrow morning."),
    ),
}

SORENESS_WORDS = PainWords(
    _("Usual soreness"),
    _("Train as planned and warm up well. If it is not gone in three days, turns sharp or sits in a joint, tell us."),
)
UNFINISHED = PainWords(
    _("Not finished yet"),
    _("Where it hurts is kept, and your coach can see it. Nothing gets harder until the rest is answered."),
)
FIRST_WEEK = PainWords(
    _("Go on, but no harder"),
    _("It is the first week you tell of it, so nobody can say yet how it changes. Nothing that loads it gets harder."),
)

# A draft that the coach edits before it goes out.
KIND_NO = _(
    "Hello %(name)s,\n\nthank you for writing to %(practice)s. We cannot take you on at the moment, and would rather "
    "say so than keep you waiting. We wish you good training, and you are welcome to write again."
)
