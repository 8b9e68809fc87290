"""The invented practice."""
