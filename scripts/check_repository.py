"""What must not get into the repository, and no linter looks for. Run by `make check`; prints one problem a line."""

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path, PurePosixPath
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
MOST_BYTES = 2 * 1024 * 1024

ADDRESS = re.compile(r"https?://|index-url|find-links")
# Where somebody's machine keeps things; not the middle of a longer path.
MACHINE_PATH = re.compile(r"(?<![\w.~-])/(?:root|work|home)/")
UNFINISHED = re.compile(r"\b(?:TO[D]O|FIX[M]E)\b(?!.*#\d)")
CODE = {".py", ".js", ".css", ".html", ".sh", ".yml", ".toml"}

INLINE_STYLE = re.compile(r"<style\b|\sstyle\s*=", re.IGNORECASE)
EVENT_HANDLER = re.compile(r"\s(?:on[a-z]+|hx-on[\w:.-]*|data-hx-on[\w:.-]*)\s*=|javascript:", re.IGNORECASE)
SCRIPT = re.compile(r"<script\b(?P<attributes>[^>]*)>", re.IGNORECASE)
# The policy of pages for everybody names the hash of what stands here (programs/views/public.py).
NAMED_BY_HASH = '<script type="importmap">{{ imports }}</script>'
# Data for scripts, with the nonce that the policy asks for.
DATA_SCRIPT = re.compile(r"type=\"(?:importmap|application/json)\"")

COMMENT = re.compile(r"/\*.*?\*/|^\s*//.*?$", re.DOTALL | re.MULTILINE)
HEX = r"(?:#|%23)(?:[0-9a-fA-F]{8}|[0-9a-fA-F]{6}|[0-9a-fA-F]{3,4})(?![\w-])"
FUNCTION = r"\b(?:rgba?|hsla?|hwb|lab|lch|oklab|oklch|color)\("
NAMED = r":[^;{}]*(?<![\w-])(?:black|white|red|green|blue|yellow|orange|purple|gr[ae]y|silver|pink|brown|navy)(?![\w-])"
COLOUR_IN_CSS = re.compile(f"{HEX}|{FUNCTION}|{NAMED}", re.IGNORECASE)
# A private member may look like a colour; text that is one stands in quotes.
COLOUR_IN_JS = re.compile(f"""["'`]{HEX}["'`]|["'`]{FUNCTION}""", re.IGNORECASE)


@dataclass(frozen=True)
class File:
    name: str
    content: bytes

    @property
    def path(self) -> PurePosixPath:
        return PurePosixPath(self.name)

    @cached_property
    def text(self) -> str:
        """Empty for what is not text."""
        try:
            return self.content.decode()
        except UnicodeDecodeError:
            return ""


def addresses(file: File) -> Iterator[str]:
    """A lock names packages and hashes; where they come from is for each machine to say."""
    if file.path.name in {"package.json", "package-lock.json"}:
        yield from _addresses_in_json(json.loads(file.text))
    elif re.fullmatch(r"requirements.*\.(in|txt)|\.npmrc", file.path.name):
        yield from _matches(ADDRESS, file.text, "names a host")


def _addresses_in_json(value: Any) -> Iterator[str]:
    if isinstance(value, list):
        value = dict(enumerate(value))
    if not isinstance(value, dict):
        if isinstance(value, str) and ADDRESS.search(value):
            yield f"names a host: {value}"
        return
    for key, inner in value.items():
        if key == "resolved":
            yield f"names where a package came from: {inner}"
        elif key != "funding":
            yield from _addresses_in_json(inner)


def machine_paths(file: File) -> Iterator[str]:
    yield from _matches(MACHINE_PATH, file.text, "names a folder of one machine")


def size(file: File) -> Iterator[str]:
    if len(file.content) > MOST_BYTES:
        yield f"has {len(file.content) / 1024**2:.1f} MB, more than {MOST_BYTES // 1024**2}"


def unfinished(file: File) -> Iterator[str]:
    if file.path.suffix in CODE:
        yield from _matches(UNFINISHED, file.text, "is left to do without the number of an issue")


def inline(file: File) -> Iterator[str]:
    """The content security policy refuses these in the browser; better to hear it here."""
    if file.path.suffix != ".html":
        return
    yield from _matches(INLINE_STYLE, file.text, "has an inline style")
    yield from _matches(EVENT_HANDLER, file.text, "has an inline event handler")
    for found in SCRIPT.finditer(file.text.replace(NAMED_BY_HASH, " " * len(NAMED_BY_HASH))):
        attributes = found["attributes"]
        if "src=" not in attributes and not (DATA_SCRIPT.search(attributes) and "nonce=" in attributes):
            yield f"line {_line(file.text, found)}: has an inline script: {found[0]}"


def colours(file: File) -> Iterator[str]:
    if file.path.parts[:1] != ("static",) or file.path.name == "tokens.css":
        return
    pattern = {".css": COLOUR_IN_CSS, ".js": COLOUR_IN_JS}.get(file.path.suffix)
    if pattern is not None:
        # Comments give way to as many lines.
        text = COMMENT.sub(lambda comment: "\n" * comment[0].count("\n"), file.text)
        yield from _matches(pattern, text, "has a colour that belongs into tokens.css")


def template_syntax(file: File) -> Iterator[str]:
    if file.path.parts[:1] != ("templates",) or file.path.suffix != ".html":
        return
    from django.template import TemplateSyntaxError, engines  # noqa: PLC0415 -- needs settings

    try:
        engines["django"].from_string(file.text)
    except TemplateSyntaxError as error:
        yield f"is no template: {error}"


CHECKS: list[Callable[[File], Iterator[str]]] = [
    addresses,
    machine_paths,
    size,
    unfinished,
    inline,
    colours,
    template_syntax,
]


def problems(file: File) -> list[str]:
    return [f"{file.name}: {problem}" for check in CHECKS for problem in check(file)]


def _matches(pattern: re.Pattern[str], text: str, what: str) -> Iterator[str]:
    for found in pattern.finditer(text):
        yield f"line {_line(text, found)}: {what}: {found[0].strip()}"


def _line(text: str, found: re.Match[str]) -> int:
    return text.count("\n", 0, found.start()) + 1


def tracked_files() -> Iterator[File]:
    """What git has, as it stands in the folder."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True, text=True)
    for name in filter(None, listed.stdout.split("\0")):
        path = ROOT / name
        if path.is_file():
            yield File(name, path.read_bytes())


def main() -> int:
    sys.path.insert(0, str(ROOT))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings.test")
    import django  # noqa: PLC0415 -- after its settings are named

    django.setup()
    found = [problem for file in tracked_files() for problem in problems(file)]
    sys.stdout.writelines(f"{problem}\n" for problem in found)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
