"""What must hold before anything is started. Each refusal is one plain sentence with what to do."""

import ipaddress
import shutil
import socket
import sqlite3
import stat
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from coaching.settings.storage import storage_problems
from submissions.domain.storage import clip_storage

OLDEST_SQLITE = (3, 37, 0)
NEEDED_BYTES = 1024**3


class Refused(Exception):
    """Starting now would lose or expose something."""


def check_demo(*, demo: bool) -> None:
    if demo and not settings.DEMO:
        raise Refused("--demo needs the demo's settings: set DJANGO_SETTINGS_MODULE=coaching.settings.demo.")
    if settings.DEMO and not demo:
        raise Refused(
            "These are the demo's settings, whose secret key is public. "
            "Add --demo, or set DJANGO_SETTINGS_MODULE=coaching.settings.production."
        )


def check_address(host: str) -> None:
    """Whether a proxy is really in front cannot be known here; that the internet gets past it, can."""
    if settings.DEMO and not is_loopback(host):
        raise Refused(f"The demo listens on this machine only (127.0.0.1), not on {host}.")
    if settings.SECURE_PROXY_SSL_HEADER and is_public(host):
        raise Refused(
            f"PURLIN_BEHIND_PROXY is true, and {host} can be reached past the proxy: anybody could claim to use HTTPS. "
            "Listen on 127.0.0.1, or on an address that only the proxy reaches."
        )


def is_public(host: str) -> bool:
    """Whether the internet reaches an address. All addresses count as the one that this machine is known by."""
    try:
        address = ipaddress.ip_address(host.strip("[]"))
    except ValueError:
        return False
    return (_outward(address.version) or address).is_global if address.is_unspecified else address.is_global


def _outward(version: int) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    """The address by which this machine would speak to the internet. Nothing is sent."""
    family, far = (socket.AF_INET6, "2001:db8::1") if version == 6 else (socket.AF_INET, "192.0.2.1")
    with socket.socket(family, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((far, 9))
        except OSError:
            return None
        return ipaddress.ip_address(probe.getsockname()[0])


def is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return host == "localhost"


def check_port(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as probe:
        # As the web server does it: a port whose last connection is just closing is free.
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host.strip("[]"), port))
        except OSError as error:
            raise Refused(
                f"Port {port} on {host} cannot be used ({error.strerror}). Choose another: --port."
            ) from error


def check_disk() -> None:
    for folder in {Path(settings.VAR), Path(settings.MEDIA_ROOT), Path(settings.UPLOAD_ROOT)}:
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            probe = folder / ".write-probe"
            probe.write_bytes(b"x")
            probe.unlink()
        except OSError as error:
            raise Refused(f"{folder} cannot be written ({error.strerror}). PURLIN_VAR names another place.") from error
        free = shutil.disk_usage(folder).free
        if free < NEEDED_BYTES:
            raise Refused(f"Only {free / NEEDED_BYTES:.1f} GB are free at {folder}; clips need at least 1 GB.")


def check_private_folder() -> None:
    folder = Path(settings.VAR)
    if not settings.DEMO and folder.exists() and folder.stat().st_mode & stat.S_IRWXO:
        raise Refused(f"{folder} is open to every user of this machine. Close it: chmod o-rwx {folder}")


def check_storage() -> None:
    for problem in storage_problems() or filter(None, [clip_storage().why_unusable()]):
        raise Refused(problem)


def check_sqlite() -> None:
    if connection.vendor == "sqlite" and sqlite3.sqlite_version_info < OLDEST_SQLITE:
        oldest = ".".join(map(str, OLDEST_SQLITE))
        raise Refused(f"SQLite {sqlite3.sqlite_version} is too old: {oldest} is the oldest that can be used.")


def check_database() -> None:
    try:
        connection.ensure_connection()
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except (DatabaseError, OSError) as error:
        raise Refused(unreachable(error)) from error
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("CREATE TABLE purlin_write_probe (n integer)")
            transaction.set_rollback(True)
    except DatabaseError as error:
        raise Refused(f"The database {_database_name()} cannot be written ({_first_line(error)}).") from error


def check_migrations(*, will_migrate: bool) -> None:
    loader = MigrationExecutor(connection).loader
    apps = {app for app, _ in loader.disk_migrations}
    strange = loader.applied_migrations.keys() - loader.disk_migrations.keys()
    unknown = sorted(f"{app}.{name}" for app, name in strange if app in apps)
    if unknown:
        raise Refused(
            f"The database has a migration that this Purlin does not know ({unknown[-1]}). "
            "Start the newer version that made it."
        )
    if not will_migrate and MigrationExecutor(connection).migration_plan(loader.graph.leaf_nodes()):
        raise Refused("The database is not migrated. Run `manage.py migrate`, or leave out --no-migrate.")


def check_no_demo_people() -> None:
    from clients.models import User  # noqa: PLC0415 -- only once the tables are there

    if settings.DEMO or User._meta.db_table not in connection.introspection.table_names():
        return
    if User.objects.filter(is_demo=True).exists():
        raise Refused(
            f"The database {_database_name()} holds demo accounts, which anybody may enter. "
            "Begin with an empty one: PURLIN_DATABASE_URL."
        )


def check_no_real_people() -> None:
    """The demo is not loaded into a practice's own database, nor thrown away over it. That has no demo account."""
    from clients.models import User  # noqa: PLC0415 -- only once the tables are there

    if not settings.DEMO or User._meta.db_table not in connection.introspection.table_names():
        return
    if User.objects.exists() and not User.objects.filter(is_demo=True).exists():
        raise Refused(
            f"The database {_database_name()} holds real people; the demo keeps away. "
            "Take PURLIN_DATABASE_URL out of the environment (unset PURLIN_DATABASE_URL)."
        )


def unreachable(error: Exception) -> str:
    return f"The database {_database_name()} cannot be reached ({_first_line(error)}). Start it, or mend its address."


def _database_name() -> str:
    """Where it is, without user and password."""
    config = connection.settings_dict
    return f"{config['NAME']} on {config['HOST']}" if config.get("HOST") else str(config["NAME"])


def _first_line(error: Exception) -> str:
    return (str(error).strip() or type(error).__name__).splitlines()[0]
