"""Clips drawn by code, for the demo and the tests: an articulated figure whose angles and repetitions are known."""

from coaching.demo.figures.film import Variant, draw_clip
from coaching.demo.figures.movements import MOVEMENTS
from coaching.demo.figures.truth import Repetition, Truth

__all__ = ["MOVEMENTS", "Repetition", "Truth", "Variant", "draw_clip"]
