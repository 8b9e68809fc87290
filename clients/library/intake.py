"""The intake questionnaire: steps, questions, and why each is asked. Health questions are in our own words.

The screening questions follow the three axes of the published pre-participation algorithm (activity, symptoms,
known disease): Riebe et al. 2015, Med Sci Sports Exerc 47:2473-2479. Its six cells were read in secondary sources.
"""

from dataclasses import dataclass, field

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clients.choices import ItemKind


@dataclass(frozen=True)
class Question:
    code: str
    label: Promise
    why: Promise
    kind: str  # integer | number | date | birth | text | long_text | choice | choices | yes_no | zone | country
    choices: tuple[tuple[str, Promise], ...] = ()
    required: bool = True
    minimum: int | None = None
    maximum: int | None = None
    unit: Promise | str = ""
    is_health: bool = False


@dataclass(frozen=True)
class Step:
    slug: str
    title: Promise
    intro: Promise
    questions: tuple[Question, ...] = field(default=())


GOALS = (
    ("first_pull_up", _("My first strict pull-up")),
    ("stronger", _("Get stronger overall")),
    ("muscle", _("Build muscle")),
    ("skill", _("A bodyweight skill, such as a handstand or a lever")),
    ("return", _("Come back after a break")),
    ("health", _("Stay able and healthy")),
)

UNITS = (
    ("reps", _("repetitions")),
    ("seconds", _("seconds")),
    ("kg", _("kg")),
    ("lb", _("lb")),
    ("sessions", _("sessions a week")),
)

EXPERIENCE = (
    ("none", _("I have not trained for strength before")),
    ("under_6_months", _("Less than half a year")),
    ("under_2_years", _("Half a year to two years")),
    ("over_2_years", _("More than two years")),
)

DESIRED = (
    ("light", _("Light: I could chat all the way through")),
    ("moderate", _("Moderate: some effort, several reps left in every set")),
    ("vigorous", _("Hard: close to the last rep, out of breath at times")),
)

KNOWN_DISEASE = (
    ("heart", _("A heart condition, or heart surgery or a stent")),
    ("vessels", _("Narrowed or blocked arteries, for example in the legs")),
    ("stroke", _("A stroke or a short stroke-like attack")),
    ("diabetes", _("Diabetes, type 1 or type 2")),
    ("kidney", _("Kidney disease")),
)

# The nine signs and symptoms of the published algorithm, paraphrased.
SYMPTOMS = (
    ("chest", _("Pain or pressure in the chest, neck, jaw or arms, at rest or with effort")),
    ("breath", _("Out of breath at rest or with very little effort")),
    ("dizzy", _("Dizziness, or fainting")),
    ("lying", _("Short of breath lying flat, or waking up short of breath")),
    ("ankles", _("Swollen ankles")),
    ("heartbeat", _("A racing or irregular heartbeat")),
    ("calf_walking", _("Cramp-like leg pain when walking that goes away with rest")),
    ("murmur", _("A heart murmur that someone told you about")),
    ("tired", _("Unusual tiredness or breathlessness in everyday things")),
)

# Codes of methods.referral: a coach refers these on, whatever the algorithm says.
SPECIAL = (
    ("pregnant", _("I am pregnant")),
    ("after_birth", _("I gave birth less than 12 weeks ago")),
    ("post_operative", _("I had an operation in the last 6 months")),
    ("nerve_signs", _("Numbness, tingling or new weakness in an arm or a leg")),
    ("new_injury", _("A new injury that nobody has looked at")),
)

STEPS = (
    Step(
        "about-you",
        _("About you"),
        _("A few things that everything else depends on."),
        (
            Question(
                "born_on",
                _("When were you born?"),
                _("Under the practice's age limit a guardian has to agree first."),
                "birth",
            ),
            Question(
                "country",
                _("Which country are you in now?"),
                _("So that we can show the right emergency number."),
                "country",
            ),
            Question(
                "time_zone",
                _("Your time zone"),
                _("Sessions land on your days, not your coach's."),
                "zone",
            ),
        ),
    ),
    Step(
        "goal",
        _("What you want"),
        _("Say it in your own words; your coach reads it."),
        (
            Question("goal", _("What is the main thing?"), _("The plan starts from it."), "choice", GOALS),
            Question(
                "goal_words",
                _("What would make you say it worked?"),
                _("Your coach checks the plan against these words."),
                "long_text",
                required=False,
            ),
            Question(
                "goal_target",
                _("Is there a number to it?"),
                _("A number makes it plain whether you are there. Leave it empty when there is none."),
                "number",
                required=False,
                minimum=0,
                maximum=100_000,
            ),
            Question(
                "goal_unit", _("A number of what?"), _("It goes with the number."), "choice", UNITS, required=False
            ),
            Question(
                "goal_by",
                _("By when?"),
                _("A date shows whether the plan has enough weeks. It may be left open."),
                "date",
                required=False,
            ),
            Question(
                "experience",
                _("How long have you trained for strength?"),
                _("Beginners progress differently, and soreness differs too."),
                "choice",
                EXPERIENCE,
            ),
            Question(
                "history",
                _("What have you done so far, and how did it go?"),
                _("What worked before often works again."),
                "long_text",
                required=False,
            ),
        ),
    ),
    Step(
        "time",
        _("Your time"),
        _("A plan that fits beats a perfect plan."),
        (
            Question(
                "days",
                _("How many days a week?"),
                _("The block gets this many sessions."),
                "integer",
                minimum=1,
                maximum=7,
                unit=_("days"),
            ),
            Question(
                "minutes",
                _("How many minutes a session, warm-up included?"),
                _("The coach sees when a session runs over."),
                "integer",
                minimum=10,
                maximum=180,
                unit=_("minutes"),
            ),
            Question(
                "other_activity",
                _("What else do you do in a week?"),
                _("Running, climbing, a job on your feet: it all counts as work for the body."),
                "long_text",
                required=False,
            ),
        ),
    ),
    Step(
        "emergency",
        _("Someone to call"),
        _("Nobody is in the room when you train. Whom may your coach call when something goes wrong?"),
        (
            Question("contact_name", _("Their name"), _("So that your coach knows whom to ask for."), "text"),
            Question(
                "contact_relation", _("Who they are to you"), _("Partner, neighbour, mother."), "text", required=False
            ),
            Question("contact_phone", _("Their phone number"), _("With the country code, if you travel."), "phone"),
        ),
    ),
    Step(
        "equipment",
        _("What you train with"),
        _("Name the place and tick what is there. Nothing is fine too: the floor goes a long way."),
    ),
    Step(
        "body",
        _("Areas to protect"),
        _("Old injuries, sore joints, anything to go around. Body mass is optional."),
    ),
    Step(
        "health",
        _("Is it safe to start?"),
        _(
            "These questions follow a published algorithm for screening before exercise, in our own words. Its "
            "decision table was taken from secondary sources. It does not replace a doctor."
        ),
        (
            Question(
                "regular",
                _("Have you exercised for at least 30 minutes, on 3 or more days a week, for the last 3 months?"),
                _("Starting from rest and going on are judged differently."),
                "yes_no",
                is_health=True,
            ),
            Question(
                "disease",
                _("Has anyone told you that you have one of these?"),
                _("Some need a doctor's word before training."),
                "choices",
                KNOWN_DISEASE,
                is_health=True,
            ),
            Question(
                "symptoms",
                _("Have you noticed any of these?"),
                _("They need a doctor's look before effort."),
                "choices",
                SYMPTOMS,
                is_health=True,
            ),
            Question(
                "special",
                _("Does any of these apply to you?"),
                _("A coach does not decide about these: a professional does."),
                "choices",
                SPECIAL,
                is_health=True,
            ),
            Question(
                "injuries",
                _("Injuries and operations, old and new"),
                _("Your coach plans around them. It makes us more careful, never less. Nobody reads it at once."),
                "long_text",
                required=False,
                is_health=True,
            ),
            Question(
                "desired",
                _("How hard do you want to train?"),
                _("The outcome sets a limit to it."),
                "choice",
                DESIRED,
                is_health=True,
            ),
            Question(
                "medicines",
                _("Medicines, or anything else your coach should know"),
                _("Nobody interprets this; it is there for a conversation. It is not read continuously."),
                "long_text",
                required=False,
                is_health=True,
            ),
        ),
    ),
)

STEPS_BY_SLUG = {step.slug: step for step in STEPS}
QUESTIONS = {question.code: question for step in STEPS for question in step.questions}

# What the equipment step offers. The floor is always there.
OFFERED_ITEMS = tuple(kind for kind in ItemKind if kind not in {ItemKind.FLOOR, ItemKind.WALL})
