"""Each check fires on a bad sample and is quiet on a good one."""

import importlib.util
import re
from pathlib import Path

import pytest
from django.conf import settings

from coaching import configuration

ROOT = Path(settings.ROOT)


def _load():
    spec = importlib.util.spec_from_file_location("check_repository", ROOT / "scripts" / "check_repository.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


check = _load()

# Put together here, because this file is checked too.
ELSEWHERE = "https" + "://packages.example"
SOMEBODYS = "/" + "home/"
LATER = "TO" + "DO"

BAD = [
    ("requirements.txt", f"--index-{'url'} {ELSEWHERE}/simple", "names a host"),
    ("requirements-dev.txt", f"thing @ {ELSEWHERE}/thing.whl", "names a host"),
    ("requirements.in", "--find-" + "links wheels", "names a host"),
    (".npmrc", f"registry={ELSEWHERE}", "names a host"),
    ("package-lock.json", '{"packages": {"a": {"resolved": "a.tgz"}}}', "names where a package came from"),
    ("package.json", f'{{"dependencies": {{"a": "{ELSEWHERE}/a.tgz"}}}}', "names a host"),
    ("docs/run.md", f"cd {SOMEBODYS}somebody/purlin", "folder of one machine"),
    ("film.bin", "x" * (2 * 1024 * 1024 + 1), "has 2.0 MB"),
    ("clients/models.py", f"# {LATER}: later", "without the number of an issue"),
    ("templates/a.html", '<p style="color: red">', "inline style"),
    ("templates/a.html", "<style>p {}</style>", "inline style"),
    ("templates/a.html", '<button onclick="go()">', "inline event handler"),
    ("templates/a.html", '<button hx-on:click="go()">', "inline event handler"),
    ("templates/a.html", '<a href="javascript:go()">', "inline event handler"),
    ("templates/a.html", "<script>go()</script>", "inline script"),
    ("templates/a.html", '<script type="importmap">{}</script>', "inline script"),
    ("templates/a.html", "{% if x %}", "is no template"),
    ("templates/a.html", "{% load nothing_like_it %}", "is no template"),
    ("static/css/tables.css", ".a { color: #fff }", "belongs into tokens.css"),
    ("static/css/tables.css", ".a { color: rgb(0 0 0 / 50%) }", "belongs into tokens.css"),
    ("static/css/tables.css", ".a { border: 1px solid black }", "belongs into tokens.css"),
    ("static/js/chart.js", 'line.stroke = "#0a0b0c"', "belongs into tokens.css"),
    ("static/js/chart.js", "line.stroke = `hsl(${angle} 50% 50%)`", "belongs into tokens.css"),
]
GOOD = [
    ("requirements.txt", "django==5.2.19 \\\n    --hash=sha256:00"),
    ("package-lock.json", f'{{"packages": {{"a": {{"funding": {{"url": "{ELSEWHERE}"}}}}}}}}'),
    ("docs/run.md", "the folder docs/work/ and ~/home/ are fine"),
    ("clients/models.py", f"# {LATER}: after #12"),
    ("templates/a.html", '<script src="a.js"></script><script type="importmap" nonce="x">{}</script>'),
    ("templates/a.html", '<script type="importmap">{{ imports }}</script>'),
    ("templates/a.html", '<p class="style" data-one="1">{{ x }}</p>'),
    ("static/css/tokens.css", ":root { --ink: #123456 }"),
    ("static/css/tables.css", "/* like #fff */ .a { color: var(--ink); white-space: nowrap }"),
    ("static/js/chart.js", "this.#add(); this.#face = 1"),
]


@pytest.mark.parametrize(("name", "content", "problem"), BAD)
def test_bad_file_is_reported(name, content, problem):
    assert [found for found in check.problems(check.File(name, content.encode())) if problem in found]


@pytest.mark.parametrize(("name", "content"), GOOD)
def test_good_file_is_not_reported(name, content):
    assert check.problems(check.File(name, content.encode())) == []


def test_bad_samples_reach_every_check():
    fired = {
        each.__name__
        for each in check.CHECKS
        for name, content, _problem in BAD
        if list(each(check.File(name, content.encode())))
    }

    assert fired == {each.__name__ for each in check.CHECKS}


def test_readme_names_no_setting_that_there_is_not():
    """docs/deployment.md tells them all (tests/test_deploy.py)."""
    told = set(re.findall(r"PURLIN_[A-Z0-9_]*[A-Z0-9]", (ROOT / "README.md").read_text()))

    assert told <= configuration.NAMES
