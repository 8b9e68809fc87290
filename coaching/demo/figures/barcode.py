"""The frame's number, drawn where a program can read it back from any copy of the picture.

A strip of 24 equal cells over the whole width; its middle lies at 98.5 % of the height, it is 2 % of the height tall.
From the left: cell 0 white, cell 1 black, cells 2 to 17 the number with its highest bit first (white is 1),
cells 18 to 21 the exclusive or of its four nibbles, cell 22 black, cell 23 white. A cell is white when its middle
is nearer to the lightness of cells 0 and 23 than to that of cells 1 and 22.
"""

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

CELLS = 24
MIDDLE_OF_HEIGHT, TALL_OF_HEIGHT = 0.985, 0.02
LARGEST = 2**16 - 1
WHITE, BLACK = (235, 235, 235), (16, 16, 16)


class UnreadableBarcode(Exception):
    """The references or the check do not fit."""


def cells_of(number: int) -> list[bool]:
    if not 0 <= number <= LARGEST:
        raise ValueError(f"number must be 0 to {LARGEST}, got {number}")
    bits = [bool(number >> place & 1) for place in range(15, -1, -1)]
    check = [bool(_check(number) >> place & 1) for place in range(3, -1, -1)]
    return [True, False, *bits, *check, False, True]


def paint(picture: Image.Image, number: int) -> None:
    """Draw into an upright picture, in place."""
    draw = ImageDraw.Draw(picture)
    top = round((MIDDLE_OF_HEIGHT - TALL_OF_HEIGHT / 2) * picture.height)
    bottom = top + round(TALL_OF_HEIGHT * picture.height) - 1
    edges = [round(cell * picture.width / CELLS) for cell in range(CELLS + 1)]
    for cell, is_white in enumerate(cells_of(number)):
        draw.rectangle([edges[cell], top, edges[cell + 1] - 1, bottom], fill=WHITE if is_white else BLACK)


def read(lightness: npt.NDArray[np.uint8]) -> int:
    """Read the number from a picture of height x width."""
    height, width = lightness.shape
    row = round(MIDDLE_OF_HEIGHT * height)
    cells = [float(lightness[row, int((cell + 0.5) * width / CELLS)]) for cell in range(CELLS)]
    white, black = (cells[0] + cells[23]) / 2, (cells[1] + cells[22]) / 2
    if white - black < 60:
        raise UnreadableBarcode("no contrast")
    bits = [cell > (white + black) / 2 for cell in cells]
    number = sum(bit << place for bit, place in zip(bits[2:18], range(15, -1, -1), strict=True))
    if cells_of(number) != bits:
        raise UnreadableBarcode("the check does not fit")
    return number


def _check(number: int) -> int:
    return (number ^ number >> 4 ^ number >> 8 ^ number >> 12) & 0xF
