"""`make bench`: for each database a process of its own with an empty one, some rows, and a line a measurement.

BENCH_FULL=1 takes the large numbers. With PURLIN_DATABASE_URL=postgres://... the measurements that ask a database are
taken there, too, in a database of their own on that server. `python -m bench weeks desk` takes only those.
"""

import os
import secrets
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench.databases import Database, postgresql, sqlite

ROOT = Path(__file__).resolve().parent.parent


def main(names: list[str]) -> int:
    started, failed = time.monotonic(), 0
    with tempfile.TemporaryDirectory(prefix="purlin-bench-") as folder:
        failed += run(sqlite(Path(folder)), Path(folder), names)
    server = os.environ.get("PURLIN_DATABASE_URL", "")
    if server.startswith("postgres"):
        with tempfile.TemporaryDirectory(prefix="purlin-bench-") as folder, postgresql(server) as database:
            failed += run(database, Path(folder), names)
    else:
        print("PostgreSQL was not measured: PURLIN_DATABASE_URL names no server.")
    seconds = time.monotonic() - started
    print(
        f"Done in {seconds:.0f} s. Compare the ratios; the times say something about this machine and its other work."
    )
    return 1 if failed else 0


def run(database: Database, folder: Path, names: list[str]) -> int:
    command = [sys.executable, "-m", "bench.run", database.name, str(folder), *names]
    return subprocess.run(command, cwd=ROOT, env=environment(database, folder), check=False).returncode


def environment(database: Database, folder: Path) -> dict[str, str]:
    """As in production, on this machine, and nothing else of what the caller has set."""
    others = {name: value for name, value in os.environ.items() if not name.startswith(("PURLIN_", "DJANGO_"))}
    return others | {
        "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}",
        "DJANGO_SETTINGS_MODULE": "bench.settings",
        "PURLIN_DATABASE_URL": database.url,
        "PURLIN_VAR": str(folder / "var"),
        "PURLIN_SECRET_KEY": secrets.token_urlsafe(60),
        "PURLIN_HTTPS": "false",
        "PURLIN_HOSTS": "localhost,127.0.0.1",
        "PURLIN_SITE_URL": "http://localhost:8000",
        "PURLIN_LOG_LEVEL": "ERROR",
    }


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
