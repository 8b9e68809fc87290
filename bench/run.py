"""All measurements in one database. Started by bench.__main__, which prepares the environment."""

import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from bench.timing import Row

Measure = Callable[[Path], Iterable[Row]]


def main(database: str, folder: Path, names: list[str]) -> int:
    started = time.monotonic()
    prepare()
    print(f"{database:<66} {'Purlin':>10} {'bare':>10} {'ratio':>7}  lowest to highest", flush=True)
    for name, measure in measures(database).items():
        if not names or name in names:
            for row in measure(folder):
                print(row, flush=True)
    print(f"{time.monotonic() - started:.0f} s\n", flush=True)
    return 0


def prepare() -> None:
    import django  # noqa: PLC0415 -- the settings are named by the environment

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415 -- once Django is set up

    call_command("migrate", verbosity=0)


def measures(database: str) -> dict[str, Measure]:
    """By the name that chooses them. What asks no database is measured once."""
    from bench import clips, desk, rebuild, training, uploads, weeks  # noqa: PLC0415 -- models, once Django is set up

    asking = {"desk": desk.measure, "rebuild": rebuild.measure, "weeks": weeks.measure, "log": training.measure}
    return asking | ({"uploads": uploads.measure, "clips": clips.measure} if database == "SQLite" else {})


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), sys.argv[3:]))
