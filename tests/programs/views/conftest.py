import pytest

from programs.domain import building
from programs.domain.rows import Row
from tests import factories as f


@pytest.fixture
def ready(cast):
    """A client who may start, up to vigorous effort."""
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast.client


@pytest.fixture
def movement():
    return f.MovementFactory(slug="push-up").current


@pytest.fixture
def block(cast, movement):
    """A draft of two weeks with one filled session."""
    draft = building.create_block(
        cast.client, by=cast.coach, title="Spring block", starts_on=f.MONDAY.replace(year=2099), weeks=2
    )
    session = building.add_session(draft, version=0, name="Pull day", week=1, weekday=1)
    building.save_session(session, [Row(movement=movement, cue="Long arms")], version=1, name="Pull day", weekday=1)
    draft.refresh_from_db()
    return draft


@pytest.fixture
def session(block):
    return block.sessions.get()


def typed(version, *rows, initial=0, **extra):
    """The session form as a browser sends it."""
    data = {"version": version, "name": "Pull day", "weekday": 1}
    data |= {"rows-TOTAL_FORMS": len(rows), "rows-INITIAL_FORMS": initial}
    base = {"section": "strength", "sets": 3, "amount": "8-12", "rest_s": 90, "kind": "work"}
    for n, row in enumerate(rows):
        data |= {f"rows-{n}-{name}": value for name, value in (base | row).items()}
    return data | extra
