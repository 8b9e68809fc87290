"""The picture: a plain room, its equipment, the figure in calm colours, what it is, and the frame's number."""

from dataclasses import dataclass
from functools import cache

from PIL import Image, ImageDraw, ImageFont

from coaching.demo.figures import barcode, body
from coaching.demo.figures.body import Point, Pose
from coaching.demo.figures.movements import Movement

WALL, FLOOR, GEAR, INK = (231, 236, 236), (201, 211, 208), (122, 112, 98), (52, 66, 74)
NEAR, FAR, SHIRT, SKIN = (58, 92, 116), (140, 162, 174), (92, 138, 132), (188, 140, 112)
CAPTION = "Invented demo figure"
# Drawn at twice the size, then halved: smooth edges.
FINER = 2
FAR_SIDE: Point = (0.035, 0.012)


@dataclass(frozen=True)
class View:
    """How metres become pixels of the upright picture."""

    width: int
    height: int
    centre: Point
    px_per_m: float

    def to_px(self, point: Point) -> Point:
        return (
            self.width / 2 + (point[0] - self.centre[0]) * self.px_per_m,
            self.height / 2 - (point[1] - self.centre[1]) * self.px_per_m,
        )


def view_of(movement: Movement, width: int, height: int) -> View:
    return View(width, height, movement.centre, width / movement.metres_wide)


def room(movement: Movement, view: View) -> Image.Image:
    """What does not move, drawn once."""
    picture = Image.new("RGB", (view.width * FINER, view.height * FINER), WALL)
    pen = Pen(ImageDraw.Draw(picture), view, (0, 0))
    floor = view.to_px((0, 0))[1] * FINER
    pen.draw.rectangle([0, floor, picture.width, picture.height], fill=FLOOR)
    for start, end in movement.lines:
        pen.limb([start, end], 0.03, GEAR)
    picture = picture.reduce(FINER)
    font = _font(view.height)
    ImageDraw.Draw(picture).text((view.width * 0.04, view.height * 0.02), CAPTION, fill=INK, font=font)
    return picture


def frame(background: Image.Image, pose: Pose, view: View, number: int, at_s: float) -> Image.Image:
    picture = background.copy()
    box = _surroundings(pose, view)
    part = picture.crop(box).resize(((box[2] - box[0]) * FINER, (box[3] - box[1]) * FINER), Image.Resampling.NEAREST)
    draw_figure(Pen(ImageDraw.Draw(part), view, box[:2]), pose)
    picture.paste(part.reduce(FINER), box[:2])
    font = _font(view.height)
    where = (view.width * 0.04, view.height * 0.05)
    ImageDraw.Draw(picture).text(where, f"frame {number}   {at_s:.2f} s", fill=INK, font=font)
    barcode.paint(picture, number)
    return picture


def draw_figure(pen: "Pen", pose: Pose) -> None:
    far = [_moved(p) for p in (pose.heel, pose.toe, pose.ankle, pose.knee, pose.hip)]
    pen.limb([far[0], far[1]], 0.05, FAR)
    pen.limb(far[2:], 0.11, FAR)
    pen.limb([_moved(p) for p in (pose.shoulder, pose.elbow, pose.wrist)], 0.075, FAR)
    pen.limb([pose.shoulder, pose.head], 0.09, SKIN)
    pen.limb([pose.heel, pose.toe], 0.06, INK)
    pen.limb([pose.ankle, pose.toe], 0.06, INK)
    pen.limb([pose.ankle, pose.knee], 0.10, NEAR)
    pen.limb([pose.knee, pose.hip], 0.14, NEAR)
    pen.limb([pose.hip, pose.shoulder], 0.20, SHIRT)
    pen.dot(pose.head, 0.105, SKIN)
    hand = body.between(pose.elbow, pose.wrist, 1 + 0.5 * body.HAND / body.FOREARM)
    pen.limb([pose.shoulder, pose.elbow], 0.09, NEAR)
    pen.limb([pose.elbow, pose.wrist], 0.075, SKIN)
    pen.dot(hand, 0.045, SKIN)


@dataclass(frozen=True)
class Pen:
    """Draws in metres on a part of the finer picture."""

    draw: ImageDraw.ImageDraw
    view: View
    corner: tuple[int, int]

    def limb(self, points: list[Point], thick_m: float, colour: tuple[int, int, int]) -> None:
        there = [self._place(point) for point in points]
        self.draw.line(there, fill=colour, width=round(thick_m * self.view.px_per_m * FINER))
        for point in points:
            self.dot(point, thick_m / 2, colour)

    def dot(self, point: Point, radius_m: float, colour: tuple[int, int, int]) -> None:
        (x, y), r = self._place(point), radius_m * self.view.px_per_m * FINER
        self.draw.ellipse([x - r, y - r, x + r, y + r], fill=colour)

    def _place(self, point: Point) -> Point:
        x, y = self.view.to_px(point)
        return ((x - self.corner[0]) * FINER, (y - self.corner[1]) * FINER)


@cache
def _font(picture_height: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size=picture_height / 45)


def _moved(point: Point) -> Point:
    return (point[0] + FAR_SIDE[0], point[1] + FAR_SIDE[1])


def _surroundings(pose: Pose, view: View) -> tuple[int, int, int, int]:
    points = [view.to_px(point) for point in vars(pose).values()]
    margin = 0.2 * view.px_per_m
    return (
        max(0, int(min(x for x, _ in points) - margin)),
        max(0, int(min(y for _, y in points) - margin)),
        min(view.width, int(max(x for x, _ in points) + margin)),
        min(view.height, int(max(y for _, y in points) + margin)),
    )
