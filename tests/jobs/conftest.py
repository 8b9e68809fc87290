import datetime

import pytest

from jobs import registry

AT = datetime.datetime(2026, 3, 4, 12, 0, tzinfo=datetime.UTC)


@pytest.fixture
def at() -> datetime.datetime:
    return AT


@pytest.fixture(autouse=True)
def own_tasks(monkeypatch):
    """A registry of the test's own, so that a test may register what it likes."""
    registry.every_task()
    tasks: dict[str, registry.Task] = {}
    monkeypatch.setattr(registry, "_tasks", tasks)
    return tasks


@pytest.fixture
def calls():
    """A task "test.note" that notes its arguments."""
    noted: list[tuple] = []
    registry.task("test.note")(lambda *args: noted.append(args))
    return noted
