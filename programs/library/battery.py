"""The baseline tests that ship with the code, in our own words. Where no source stands they are common practice."""
# ruff: noqa: N817 -- short names keep an entry readable in one glance

from clients.choices import Area as A
from methods.pain import GREEN_MAX
from programs.choices import LoggedSide
from programs.library.battery_schema import Amount, BatteryTest, Way

# Goes up when a wording changes what is counted: results of two editions are not compared.
EDITION = 1

STOP_RULES = (
    f"Stop when something hurts more than {GREEN_MAX} of 10, or when a pain changes how you move.",
    "Stop at once with pressure or pain in the chest, a racing or uneven heart, dizziness, or breath that does not "
    "come. Do no further test that day, and tell it: it is asked about before anything else.",
    "Stop when the form goes: what was clean until then is what counts.",
)

BOTH_SIDES = (LoggedSide.LEFT, LoggedSide.RIGHT)
STRAIGHT = "A repetition that sags, twists or is cut short is not counted."

BATTERY: tuple[BatteryTest, ...] = (
    BatteryTest(
        code="sit-to-stand",
        name="Sit to stand for 30 seconds",
        movement="sit-to-stand",
        amount=Amount.REPETITIONS,
        areas=(A.KNEE, A.HIP, A.THIGH_FRONT, A.LOW_BACK),
        set_up="A chair without arms, its back against a wall. Measure the height of the seat. Start the clock, or let "
        "somebody else keep the time.",
        how="Arms crossed on the chest. Stand up fully, sit down again, over and over for 30 seconds, at a pace that "
        "stays steady.",
        counts="Full stands within the 30 seconds. More than halfway up when the time is over counts as one.",
        source="30-second chair stand of Jones, Rikli and Beam 1999, Res Q Exerc Sport 70(2):113-119; from memory.",
        clock_s=30,
        asks_height=True,
        timed=True,
        maximal="As many as you can in the 30 seconds, still sitting down each time.",
    ),
    BatteryTest(
        code="push-ups",
        name="Push-ups",
        movement="push-up",
        amount=Amount.REPETITIONS,
        areas=(A.CHEST, A.ELBOW, A.LOW_BACK, A.SHOULDER, A.WRIST),
        set_up="Floor, hands under the shoulders. On the toes; or on the knees, with something soft under them.",
        how="Lower in one piece until the elbows are bent to a right angle, push back up to straight arms. No pause on "
        "the way.",
        counts=f"Whole repetitions in one go. {STRAIGHT}",
        source="Elbows to a right angle, in one go, no time limit: as in the two published tables (methods.norms).",
        ways=(Way("toes", "On the toes", "push-up"), Way("knees", "On the knees", "knee-push-up")),
        norm="push-ups",
        maximal="Until not one more clean repetition is possible, without a time limit and without a rest.",
    ),
    BatteryTest(
        code="rows",
        name="Rows at a known angle",
        movement="inverted-row",
        amount=Amount.REPETITIONS,
        areas=(A.ELBOW, A.SHOULDER, A.UPPER_BACK, A.WRIST),
        set_up="Rings or a low bar, tested before. Feet under the point it hangs from, arms straight, body in "
        "one line. A phone laid along the thigh shows the lean from the vertical; write it down.",
        how="Pull until the hands reach the ribs, lower to straight arms. The line from heels to ears stays straight.",
        counts=f"Whole repetitions in one go. {STRAIGHT}",
        source="Angles as measured by Melrose and Dawes 2015 (methods.bodyweight); the test itself is common practice.",
        asks_angle=True,
        maximal="Until not one more clean repetition is possible.",
    ),
    BatteryTest(
        code="pull-ups",
        name="Strict pull-ups",
        movement="pull-up",
        amount=Amount.REPETITIONS,
        areas=(A.ELBOW, A.SHOULDER, A.UPPER_BACK, A.WRIST),
        set_up="A bar that was tested, high enough to hang from. Palms away, hands a little wider than the shoulders.",
        how="From a full hang with straight arms, chin over the bar, back to straight arms. No swing, no kick. Step "
        "down, do not drop.",
        counts="Whole repetitions in one go. None is a result too: write 0, and the step below is offered.",
        source="Common practice.",
        norm="pull-ups",
        maximal="Until not one more strict repetition is possible.",
    ),
    BatteryTest(
        code="top-hold",
        name="Hold with the chin over the bar",
        movement="flexed-arm-hang",
        amount=Amount.SECONDS,
        areas=(A.ELBOW, A.SHOULDER, A.UPPER_BACK, A.WRIST),
        set_up="A bar that was tested, and a chair or step to climb up with. Chin over the bar, feet still on it.",
        how="Take the feet off and hold. Put the feet back to end it; do not drop.",
        counts="Seconds with the chin over the bar.",
        source="Common practice.",
        below="pull-ups",
        timed=True,
        maximal="Until the chin sinks to the bar.",
    ),
    BatteryTest(
        code="dead-hang",
        name="Dead hang",
        movement="dead-hang",
        amount=Amount.SECONDS,
        areas=(A.ELBOW, A.SHOULDER, A.WRIST),
        set_up="A bar or rings that were tested, the floor clear and within reach of the feet.",
        how="Straight arms, feet off the floor, breathing calmly. Step down before the hands open.",
        counts="Seconds with both feet off the floor.",
        source="Common practice.",
        timed=True,
        maximal="Until the grip is about to open. Never until it does.",
    ),
    BatteryTest(
        code="hollow-hold",
        name="Hollow hold",
        movement="hollow-hold",
        amount=Amount.SECONDS,
        areas=(A.LOW_BACK, A.NECK, A.BELLY, A.HIP),
        set_up="On your back on the floor. Arms and legs long; or knees over the hips, which is easier.",
        how="Press the lower back into the floor, lift shoulders and feet, hold and keep breathing.",
        counts="Seconds with the lower back on the floor.",
        source="Common practice.",
        ways=(
            Way("long", "Arms and legs long", "hollow-hold"),
            Way("tucked", "Knees over the hips", "hollow-hold-tuck"),
        ),
        timed=True,
        maximal="Until the lower back leaves the floor.",
    ),
    BatteryTest(
        code="side-bridge",
        name="Side bridge",
        movement="side-plank",
        amount=Amount.SECONDS,
        areas=(A.SHOULDER, A.LOW_BACK, A.HIP),
        set_up="On one side, forearm under the shoulder, legs long, the upper foot in front of the lower one.",
        how="Lift the hips until the body is one line, the free hand on the other shoulder. Hold. Then the other side.",
        counts="Seconds with the hips in line, for each side.",
        source="McGill, Childs and Liebenson 1999, Arch Phys Med Rehabil 80(8):941-944; procedure from memory.",
        sides=BOTH_SIDES,
        timed=True,
        maximal="Until the hips drop to the floor.",
    ),
    BatteryTest(
        code="overhead-reach",
        name="Overhead reach",
        movement="wall-slide",
        amount=Amount.CENTIMETRES,
        areas=(A.SHOULDER, A.UPPER_BACK),
        set_up="Back against a wall, heels a foot's length from it, lower back and head touching the wall.",
        how="Straight arms, thumbs to the wall. Lift them as high as they go without the back leaving the wall.",
        counts="Centimetres from the wall to the nearer thumb. 0 is touching it; less is further.",
        source="Common practice; no table was found.",
        less_is_more=True,
    ),
)
BY_CODE = {test.code: test for test in BATTERY}
