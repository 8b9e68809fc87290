"""The Celery app. It carries hints that job rows exist; the rows are the truth (docs/decisions/jobs.md)."""

import os
from pathlib import Path
from typing import Any

from celery import Celery
from kombu.transport import TRANSPORT_ALIASES

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings.production")
TRANSPORT_ALIASES["filesystem"] = "jobs.broker:Transport"

app = Celery(
    "coaching",
    set_as_current=True,
    loader="coaching.serving.gate:CeleryLoader",
    log="coaching.serving.loggers:CeleryLogging",
)
app.config_from_object("django.conf:settings", namespace="CELERY")
app.steps["worker"].add("jobs.pulse:WorkerPulse")


@app.add_defaults
def defaults() -> dict[str, Any]:
    """Asked for when first needed: this module is imported while the settings are."""
    from django.conf import settings  # noqa: PLC0415

    return {
        "imports": ["jobs.delivery"],
        "accept_content": ["json"],
        "task_serializer": "json",
        "task_ignore_result": True,
        "task_acks_late": True,
        "task_reject_on_worker_lost": True,
        # Kills a stuck child; its lease runs out and the sweep finds the job.
        "task_time_limit": settings.JOBS_TIME_LIMIT_SECONDS,
        # What a child that was killed might still have to say concerns nobody; until then its place is taken.
        "worker_lost_wait": 0.5,
        "worker_pool": "jobs.pool:TaskPool",
        "worker_prefetch_multiplier": 1,
        "worker_enable_remote_control": False,
        "worker_hijack_root_logger": False,
        "worker_redirect_stdouts": False,
        # With REMAP_SIGTERM=SIGQUIT (manage.py serve) a stop gives running jobs this long; the lease does the rest.
        "worker_soft_shutdown_timeout": 3.0,
        "broker_connection_retry_on_startup": True,
        "broker_transport_options": transport_options(settings.CELERY_BROKER_URL, Path(settings.BROKER_FOLDER)),
        "beat_scheduler": "jobs.pulse:SweepingScheduler",
        "beat_max_loop_interval": settings.JOBS_SWEEP_SECONDS,
        "beat_schedule": {"sweep": {"task": "jobs.sweep", "schedule": float(settings.JOBS_SWEEP_SECONDS)}},
    }


def transport_options(url: str, folder: Path) -> dict[str, Any]:
    if url.startswith("filesystem"):
        for place in [folder.parent, folder, folder / "waiting", folder / "delivered", folder / "control"]:
            place.mkdir(mode=0o700, parents=True, exist_ok=True)
        return {
            "data_folder_in": str(folder / "waiting"),
            "data_folder_out": str(folder / "waiting"),
            # Kept beside: the alternative moves messages through the system's shared temporary folder.
            "store_processed": True,
            "processed_folder": str(folder / "delivered"),
            "control_folder": str(folder / "control"),
            # A worker whose places are all taken looks again only so much later: by default, two jobs a second.
            "polling_interval": 0.1,
        }
    if url.startswith("redis"):
        # Redis gives back what a dead worker held after interval x throttle seconds; by default that is 100.
        return {
            "visibility_timeout": 60,
            "unacked_restore_interval": 5,
            "unacked_restore_throttle": 1,
            # A request that only wants to leave a hint does not wait for a broker that is down.
            "max_retries": 0,
            "socket_connect_timeout": 1,
            "socket_timeout": 10,
        }
    return {}
