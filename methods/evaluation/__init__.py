"""Simulated trainees whose truth is known, run through the real decision code: ``python -m methods.evaluation``."""
