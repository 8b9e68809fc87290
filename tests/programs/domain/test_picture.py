import math

import pytest

from programs.domain.picture import joints, picture_of
from programs.library import LINES
from programs.library.poses import POSES, SHANK, THIGH, TRUNK

STEPS = sorted({slug for line in LINES for slug in line.steps})


@pytest.mark.parametrize("slug", STEPS)
def test_every_step_of_the_lines_has_a_picture_inside_its_frame(slug):
    picture = picture_of(slug)

    for shape in picture.shapes:
        spots = [tuple(map(float, spot.split(","))) for spot in shape.points.split()] or [(shape.x, shape.y)]
        assert all(-1 <= x <= picture.width + 1 and -45 <= y <= picture.height + 1 for x, y in spots)


@pytest.mark.parametrize("slug", sorted(POSES))
def test_what_is_held_stays_and_limbs_keep_their_length(slug):
    drawn = POSES[slug]
    for pose in filter(None, (drawn.start, drawn.end)):
        at = joints(pose, drawn)
        assert at[drawn.held] == pytest.approx((0, drawn.height_m))
        for one, other, length in (("hip", "shoulder", TRUNK), ("hip", "knee", THIGH), ("knee", "feet", SHANK)):
            assert math.dist(at[one], at[other]) == pytest.approx(length)


@pytest.mark.parametrize("slug", ["pull-up", "chin-up", "band-assisted-pull-up", "pull-up-paused-top"])
def test_pull_up_ends_with_the_head_above_the_hands(slug):
    drawn = POSES[slug]

    assert joints(drawn.end, drawn)["head"][1] > 2.2 > joints(drawn.start, drawn)["head"][1]


def test_what_is_not_drawn_has_no_picture():
    assert picture_of("brisk-walk") is None
