from django.db import models


class JobState(models.TextChoices):
    QUEUED = "queued"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"


class ProcessKind(models.TextChoices):
    WORKER = "worker"
    SCHEDULER = "scheduler"
