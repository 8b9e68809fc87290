"""The movement library that every practice starts with. The wording is ours; shares say where they come from."""

from programs.library import legs, pull, push, trunk
from programs.library.lines import LINES
from programs.library.set_ups import with_set_up

MOVEMENTS = tuple(with_set_up(entry) for entry in (*pull.ENTRIES, *push.ENTRIES, *legs.ENTRIES, *trunk.ENTRIES))

__all__ = ["LINES", "MOVEMENTS"]
