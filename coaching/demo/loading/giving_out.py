"""A session that the invented practice shows to anyone."""

from coaching.demo.loading.days import Now
from coaching.demo.person import GivenOut
from programs.domain.public_sessions import publish_session
from programs.domain.rows import with_contents
from programs.models import BlockSession


def give_out(given_out: GivenOut, *, now: Now) -> None:
    """Nothing where the client is not among those who were loaded."""
    theirs = BlockSession.objects.filter(block__client__name=given_out.person, name=given_out.session)
    session = with_contents(theirs.select_related("block__client")).order_by("block__pk", "week").first()
    if session is None:
        return
    publish_session(
        session,
        title=given_out.title,
        about=given_out.about,
        with_cues=True,
        by=session.block.written_by,
        at=now.hours_ago(given_out.hours),
    )
