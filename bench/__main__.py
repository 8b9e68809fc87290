"""`make bench`: a database of its own in a temporary folder, some rows, and one line a measurement."""

import os
import sys
import tempfile
import time
from pathlib import Path


def main() -> int:
    started = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="purlin-bench-") as folder:
        prepare(Path(folder))
        from bench import clips, desk, training  # noqa: PLC0415 -- models, once Django is set up

        print(f"{'':<52} {'Purlin':>10} {'bare':>10} {'ratio':>7}")
        for measure in (desk.rebuild, training.log_batch, desk.attention_page, clips.process):
            result = measure(Path(folder))
            print(f"{result.what:<52} {result.ours:>10} {result.bare:>10} {result.ratio:>7.1f}  {result.remark}")
    print(
        f"Done in {time.monotonic() - started:.0f} s. Compare the ratios; the times say something about this machine."
    )
    return 0


def prepare(folder: Path) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "coaching.settings.test"
    os.environ["PURLIN_DATABASE_URL"] = f"sqlite:///{folder / 'bench.sqlite3'}"
    import django  # noqa: PLC0415 -- after the settings are named

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    call_command("migrate", verbosity=0)


if __name__ == "__main__":
    sys.exit(main())
