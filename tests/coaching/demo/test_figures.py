import math

import av
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from coaching.demo.figures import MOVEMENTS, Variant, barcode, draw_clip
from coaching.demo.figures import body as bodies
from coaching.demo.figures.film import PLACE
from coaching.demo.figures.schedule import repetitions_within

SMALL = (270, 480)
# What the angles measure, as points: one side, corner, other side.
CORNERS = {
    "ankle": ("toe", "ankle", "knee"),
    "knee": ("ankle", "knee", "hip"),
    "hip": ("knee", "hip", "shoulder"),
    "shoulder": ("hip", "shoulder", "elbow"),
    "elbow": ("shoulder", "elbow", "wrist"),
}
SEGMENTS = {
    ("ankle", "knee"): bodies.SHANK,
    ("knee", "hip"): bodies.THIGH,
    ("hip", "shoulder"): bodies.TRUNK,
    ("shoulder", "elbow"): bodies.UPPER_ARM,
    ("elbow", "wrist"): bodies.FOREARM,
}


@pytest.fixture(scope="module")
def squat(tmp_path_factory):
    path = tmp_path_factory.mktemp("figures") / "squat.mp4"
    return path, draw_clip(path, movement="squat", seconds=8, size=SMALL)


def frames_of(path):
    with av.open(str(path)) as clip:
        yield from clip.decode(clip.streams.video[0])


def by_cosine(one, at, other):
    a, b = np.subtract(one, at), np.subtract(other, at)
    return math.degrees(math.acos(np.clip(a @ b / (np.linalg.norm(a) * np.linalg.norm(b)), -1, 1)))


@pytest.mark.parametrize("share", [0, 0.25, 0.5, 0.75, 1])
@pytest.mark.parametrize("movement", MOVEMENTS)
def test_a_figure_never_stretches(movement, share):
    pose = vars(MOVEMENTS[movement].pose(share))

    lengths = {ends: math.dist(pose[ends[0]], pose[ends[1]]) for ends in SEGMENTS}

    assert lengths == pytest.approx(SEGMENTS)


@pytest.mark.parametrize("share", [0, 0.5, 1])
@pytest.mark.parametrize("movement", MOVEMENTS)
def test_a_figure_stays_above_the_floor(movement, share):
    assert min(y for _, y in vars(MOVEMENTS[movement].pose(share)).values()) >= 0


def test_angles_are_those_between_the_drawn_points(squat):
    _, truth = squat

    for number in (0, 60, 120, 239):
        points = truth.points_px[number]
        drawn = {joint: by_cosine(*(points[name] for name in corner)) for joint, corner in CORNERS.items()}
        assert {joint: truth.angles_deg[joint][number] for joint in CORNERS} == pytest.approx(drawn, abs=1e-6)


@pytest.mark.parametrize(
    ("movement", "joint", "start_deg", "turn_deg"),
    [
        ("squat", "knee", 175, 62),
        ("push_up", "elbow", 172, 82),
        ("ring_row", "elbow", 172, 72),
        ("hollow_hold", "hip", 180, 140),
    ],
)
def test_the_leading_joint_goes_from_start_to_turn(movement, joint, start_deg, turn_deg):
    pose = MOVEMENTS[movement].pose

    angles = (pose(0).angles_deg()[joint], pose(1).angles_deg()[joint])

    assert angles == pytest.approx((start_deg, turn_deg))


def test_the_chin_passes_the_bar_in_a_pull_up():
    pose = MOVEMENTS["pull_up"].pose(1)

    assert pose.head[1] > pose.wrist[1] - 0.1


def test_the_knee_is_most_bent_at_each_turn_and_straight_around_it(squat):
    _, truth = squat
    knee, times = np.array(truth.angles_deg["knee"]), np.array(truth.frame_times_s)

    for repetition in truth.repetitions:
        inside = (times >= repetition.start_s) & (times <= repetition.end_s)
        middle = (times[inside][knee[inside] == knee[inside].min()]).mean()
        assert middle == pytest.approx(repetition.turn_s, abs=1 / 30)
    between = np.ones_like(times, dtype=bool)
    for repetition in truth.repetitions:
        between &= (times < repetition.start_s) | (times > repetition.end_s)
    assert set(knee[between]) == {knee.max()}


def test_repetitions_follow_each_other_within_the_clip(squat):
    _, truth = squat
    moments = [moment for r in truth.repetitions for moment in (r.start_s, r.turn_s, r.end_s)]

    assert moments == sorted(moments)
    assert (len(truth.repetitions), moments[0] > 0, moments[-1] < 8) == (2, True, True)


def test_a_hold_is_one_repetition(tmp_path):
    truth = draw_clip(tmp_path / "hold.mp4", movement="hollow_hold", seconds=4, fps=10, size=SMALL)

    assert [round(r.end_s, 6) for r in truth.repetitions] == [3.6]


def test_pace_fits_more_repetitions_into_the_same_time():
    usual, quick = (repetitions_within(MOVEMENTS["squat"], 8, seed=0, pace=pace) for pace in (1, 2))

    assert len(quick) > len(usual)


def test_less_depth_bends_the_knee_less(tmp_path, squat):
    shallow = draw_clip(tmp_path / "shallow.mp4", movement="squat", seconds=4, size=SMALL, depth=0.5)

    assert min(shallow.angles_deg["knee"]) == pytest.approx(175 - 0.5 * 113)


def test_the_same_seed_draws_the_same_film_and_another_seed_another(tmp_path):
    made = [
        draw_clip(tmp_path / str(i), seconds=2, pace=3, size=(90, 160), seed=seed) for i, seed in enumerate([5, 5, 6])
    ]

    assert (tmp_path / "0").read_bytes() == (tmp_path / "1").read_bytes()
    assert made[0] == made[1]
    assert made[0].repetitions != made[2].repetitions


def test_every_frame_shows_its_number_when_turned_upright(squat):
    path, truth = squat

    numbers = [barcode.read(np.rot90(frame.to_ndarray(format="gray"), k=-1)) for frame in frames_of(path)]

    assert numbers == list(range(len(truth.frame_ticks)))


def test_the_rotation_flag_stores_the_picture_on_its_side(squat):
    first = next(frames_of(squat[0]))

    assert (first.width, first.height, first.rotation) == (*SMALL[::-1], -90)


@pytest.mark.parametrize("timing", ["steady", "dropped", "jittered"])
def test_frames_are_stored_at_their_true_times(tmp_path, timing):
    truth = draw_clip(tmp_path / "clip", fps=60, seconds=2, size=SMALL, variant=Variant(timing=timing))

    stored = [round(frame.pts * frame.time_base * 90_000) for frame in frames_of(tmp_path / "clip")]

    assert tuple(stored) == truth.frame_ticks


def test_the_place_lies_in_the_open_sea():
    assert PLACE.startswith("-47.1234-126.5678")


@given(st.integers(0, barcode.LARGEST))
def test_a_barcode_reads_back(number):
    picture = Image.new("RGB", (96, 400), "grey")
    barcode.paint(picture, number)

    assert barcode.read(np.array(picture.convert("L"))) == number


def test_a_damaged_barcode_is_not_misread():
    picture = Image.new("RGB", (240, 1000), "grey")
    barcode.paint(picture, 5)
    lightness = np.array(picture.convert("L"))
    lightness[:, 100:110] = 235

    with pytest.raises(barcode.UnreadableBarcode):
        barcode.read(lightness)


@pytest.mark.parametrize("number", [-1, barcode.LARGEST + 1])
def test_a_barcode_refuses_numbers_it_cannot_hold(number):
    with pytest.raises(ValueError, match="65535"):
        barcode.cells_of(number)
