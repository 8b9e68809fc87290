class JobsError(Exception):
    """Something about a job was refused."""


class NotInTransaction(JobsError):
    """A job was requested outside a transaction: it could exist without its cause, or the other way round."""


class UnknownTask(JobsError):
    """No app's tasks.py registers a task of this name."""


class BadArguments(JobsError):
    """A job carries ids only: whole numbers and short strings."""


class GiveUp(JobsError):
    """Raised by a task that will never succeed. Its message is stored, so it carries no personal data."""


class LostLease(JobsError):
    """The job is no longer ours: what was worked out may not be published."""
