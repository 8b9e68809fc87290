"""Doing what the people of the demo would have done, one subject a file."""
