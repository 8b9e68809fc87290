"""Long runs: ``pytest tests/soak --run-soak``, or ``make soak``."""

import pytest


def pytest_addoption(parser):
    parser.addoption("--run-soak", action="store_true", default=False, help="run what takes minutes")


def pytest_collection_modifyitems(config, items):
    if config.getoption("--run-soak", default=False):
        return
    for item in items:
        if "soak" in item.path.parts:
            item.add_marker(pytest.mark.skip(reason="a long run: make soak"))
