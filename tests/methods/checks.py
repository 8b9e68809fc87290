"""Print every check against the outside and the counts by tag: ``python -m tests.methods.checks``."""

import importlib
import pkgutil
import sys
from collections import Counter

import tests.methods
from tests.methods.registry import OUTSIDE, Check, Checks, Tag


def all_checks() -> list[Check]:
    """Collect the checks of every test module here."""
    found: list[Check] = []
    for module in sorted(info.name for info in pkgutil.iter_modules(tests.methods.__path__)):
        if module.startswith("test_"):
            checks = getattr(importlib.import_module(f"tests.methods.{module}"), "CHECKS", None)
            found += checks if isinstance(checks, Checks) else []
    return found


def counts_by_tag(checks: list[Check]) -> Counter[Tag]:
    """Count checks by where their value comes from."""
    return Counter(check.tag for check in checks)


def outside_sources(checks: list[Check]) -> Counter[str]:
    """Count the outside checks by source."""
    return Counter(check.source for check in checks if check.tag in OUTSIDE)


def _row(check: Check) -> str:
    mark = "ok" if check.passes() else "WRONG"
    return f"{mark:5} {check.tag:2} {check!s:70} expected {check.expected!s:28} got {check.got()!s:28} {check.source}\n"


def main() -> int:
    """Print the table; the answer is 1 when any is wrong."""
    from tests.methods.libraries import library_checks  # noqa: PLC0415 -- takes seconds to import

    checks = [*all_checks(), *library_checks()]
    wrong = 0
    for tag in Tag:
        for check in (check for check in checks if check.tag is tag):
            sys.stdout.write(_row(check))
            wrong += not check.passes()
    sys.stdout.write("\n")
    for tag in Tag:
        sys.stdout.write(f"{tag.value:2} {tag.name.lower():12} {counts_by_tag(checks)[tag]:4}\n")
    sources = outside_sources(checks)
    sys.stdout.write(
        f"outside (V and V2): {sum(sources.values())} checks from {len(sources)} sources, "
        f"at most {max(sources.values(), default=0)} from one; wrong: {wrong}\n"
    )
    return min(wrong, 1)


if __name__ == "__main__":
    sys.exit(main())
