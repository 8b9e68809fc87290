import http.client
import logging
import os
import shutil
import sys
from argparse import ArgumentParser
from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.contrib.staticfiles.storage import ManifestFilesMixin, staticfiles_storage
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connections

from coaching.serving import checks, presence
from coaching.serving.supervisor import Child, Supervisor
from programs.domain.library import load_library

logger = logging.getLogger(__name__)

# Uploads from phones are slow: each holds a thread for as long as it takes.
WEB_THREADS = 16


class Command(BaseCommand):
    help = "Run all of Purlin: web, worker and scheduler, until it is told to stop."
    # Serving checks for itself, in plain words.
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--demo", action="store_true", help="serve the invented practice, to this machine only")
        parser.add_argument("--workers", type=int, default=2, help="web processes of 16 threads each (2)")
        parser.add_argument("--jobs", type=int, default=2, choices=[1, 2], help="jobs at the same time (2)")
        parser.add_argument("--no-migrate", action="store_true", help="refuse where migrations are missing")

    def handle(self, *, host: str, port: int, demo: bool, no_migrate: bool, **options: Any) -> None:
        try:
            prepare(host=host, port=port, demo=demo, migrate=not no_migrate, say=self._say)
        except checks.Refused as refused:
            raise CommandError(str(refused)) from refused
        self.host, self.port = host, port
        supervisor = Supervisor(
            children=children(host=host, port=port, workers=options["workers"], jobs=options["jobs"]),
            folder=settings.ROOT,
            environment=environment(host=host, port=port),
            say=self._say,
            is_up=lambda: answers(host, port),
            when_up=self._announce,
        )
        with presence.serving(Path(settings.VAR)):
            was_told = supervisor.run()
        if not was_told:
            raise CommandError("Purlin has stopped: see the lines above.")
        self._say("Stopped.")

    def _say(self, line: str) -> None:
        """To the terminal; in production a line like all others."""
        if settings.DEMO or line.startswith("{"):
            self.stdout.write(line)
            self.stdout.flush()
        else:
            logger.info(line)

    def _announce(self) -> None:
        self._say(f"Purlin answers at {address(self.host, self.port)}")
        if settings.DEMO:
            for label, path in sign_in_links():
                self._say(f"  {label}: {address(self.host, self.port)}{path}")
        connections.close_all()


def prepare(*, host: str, port: int, demo: bool, migrate: bool, say: Callable[[str], None]) -> None:
    """Check everything and bring database, pages' files and broker up to date. Raises Refused."""
    checks.check_demo(demo=demo)
    checks.check_address(host)
    checks.check_port(host, port)
    checks.check_disk()
    checks.check_private_folder()
    checks.check_storage()
    checks.check_sqlite()
    checks.check_database()
    checks.check_no_real_people()
    checks.check_migrations(will_migrate=migrate)
    if migrate:
        say("Bringing the database up to date.")
        call_command("migrate", interactive=False, verbosity=0)
        load_library()
    checks.check_no_demo_people()
    if static_is_stale():
        say("Collecting styles and scripts.")
        call_command("collectstatic", interactive=False, verbosity=0)
    forget_hints()
    # The children open their own.
    connections.close_all()


def children(*, host: str, port: int, workers: int, jobs: int) -> list[Child]:
    python = [sys.executable, "-m"]
    bind = f"[{host.strip('[]')}]:{port}" if ":" in host else f"{host}:{port}"
    web = ["gunicorn", "coaching.wsgi", "--bind", bind, "--worker-class", "gthread", "--workers", str(workers)]
    web += ["--threads", str(WEB_THREADS), "--timeout", "60", "--graceful-timeout", "3", "--log-level", "warning"]
    web += ["--no-control-socket"]
    celery = ["celery", "--quiet", "--app", "coaching"]
    worker = [*celery, "worker", "--pool", "prefork", "--concurrency", str(jobs), "--loglevel", "WARNING"]
    worker += ["--without-gossip", "--without-mingle", "--without-heartbeat"]
    beat = [*celery, "beat", "--loglevel", "WARNING", "--pidfile="]
    return [Child("web", python + web), Child("worker", python + worker), Child("scheduler", python + beat)]


def environment(*, host: str, port: int) -> dict[str, str]:
    # A stop gives running jobs a few seconds (coaching.celery), then lets go of them.
    ours = {"REMAP_SIGTERM": "SIGQUIT", "PYTHONUNBUFFERED": "1", "DJANGO_SETTINGS_MODULE": settings.SETTINGS_MODULE}
    if settings.DEMO:
        ours["PURLIN_SITE_URL"] = address(host, port)
    return os.environ | ours


def address(host: str, port: int) -> str:
    return f"http://{f'[{host}]' if ':' in host and not host.startswith('[') else host}:{port}"


def answers(host: str, port: int) -> bool:
    """Whether the web process is up, whatever it says. Bound to all addresses, it is asked on this machine's own."""
    here = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host.strip("[]"))  # noqa: S104 -- compared, not bound
    web = http.client.HTTPConnection(here, port, timeout=2)
    try:
        web.request("GET", "/livez", headers={"Host": "localhost"})
        web.getresponse()
    except OSError:
        return False
    finally:
        web.close()
    return True


def sign_in_links() -> list[tuple[str, str]]:
    from coaching import demo  # noqa: PLC0415 -- production never loads the demo

    return demo.sign_in_links()


def static_is_stale() -> bool:
    """Whether a source is newer than the manifest that names the collected files."""
    if not isinstance(staticfiles_storage, ManifestFilesMixin):
        return False
    manifest = Path(settings.STATIC_ROOT) / staticfiles_storage.manifest_name
    if not manifest.exists():
        return True
    collected = manifest.stat().st_mtime
    files = (storage.path(name) for finder in get_finders() for name, storage in finder.list([]))
    return any(Path(file).stat().st_mtime > collected for file in files)


def forget_hints() -> None:
    """The worker begins with a sweep of the rows; hints from the last run would only be repeated."""
    if settings.CELERY_BROKER_URL.startswith("filesystem"):
        shutil.rmtree(settings.BROKER_FOLDER, ignore_errors=True)
