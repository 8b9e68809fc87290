"""The movement library that every practice starts with. The wording is ours; shares say where they come from."""

from programs.library import legs, mobility, pull, push, skills, trunk, weights
from programs.library.lines import LINES
from programs.library.set_ups import with_set_up

MOVEMENTS = tuple(
    with_set_up(entry) for room in (pull, push, legs, trunk, skills, weights, mobility) for entry in room.ENTRIES
)

__all__ = ["LINES", "MOVEMENTS"]
