"""Copy the few browser files we serve from node_modules to build/vendor (git-ignored)."""

import re
import shutil
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TARGET = ROOT / "build" / "vendor"
# A manifest of hashed names refuses files that point at source maps we do not ship.
SOURCE_MAP = re.compile(r"^//# sourceMappingURL=.*$", re.MULTILINE)
FILES = {"tus-js-client/dist/tus.min.js": "tus.min.js"}


def main() -> None:
    shutil.rmtree(TARGET, ignore_errors=True)
    TARGET.mkdir(parents=True)
    for source, name in FILES.items():
        text = (ROOT / "node_modules" / source).read_text(encoding="utf-8")
        (TARGET / name).write_text(SOURCE_MAP.sub("", text), encoding="utf-8")


if __name__ == "__main__":
    main()
