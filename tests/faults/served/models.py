"""What was asked for, and a ledger of what happened. Nothing here is unique that a fault could double."""

from django.db import models


class Asked(models.Model):
    """The cause of a job, written in the transaction that requests it."""

    uuid = models.UUIDField(primary_key=True)
    kind = models.CharField(max_length=20)


class Told(models.Model):
    """Something new about a topic, which the next run has to see (jobs.ensure)."""

    uuid = models.UUIDField(unique=True)
    topic = models.PositiveIntegerField()


class Run(models.Model):
    """One start of a job. Without an end its process was killed, or is still at it."""

    job = models.UUIDField()
    pid = models.PositiveIntegerField()
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    error = models.CharField(max_length=40, blank=True)


class Effect(models.Model):
    """What a job is for: written once per job, by nothing but jobs.publishing."""

    job = models.UUIDField()
    run = models.ForeignKey(Run, on_delete=models.CASCADE)
    at = models.DateTimeField()
    # Of an ensured run: up to where it had read.
    topic = models.PositiveIntegerField(null=True)
    seen = models.BigIntegerField(null=True)


class PlainEffect(models.Model):
    """The same by the other way, for the contrast: a task of Celery alone."""

    asked = models.UUIDField()
    at = models.DateTimeField()
