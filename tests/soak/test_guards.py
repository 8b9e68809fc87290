"""Take out every guard of the safety rules, one at a time, and see the suite fail.

The list is generated from the source: every early way out of a function (an ``if`` that ends in return, raise or
another value), every operand of its condition, and every entry of the arbiter's list of guards. Each is removed in a
copy of the room, and the room's own tests are run on the copy. A mutant that survives is a guard that nobody tests.
"""

import ast
import os
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from copy import deepcopy
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SUSPECTS = {
    "progression": ["test_progression.py"],
    "screening": ["test_screening.py"],
    "pain": ["test_pain.py"],
    "red_flags": ["test_red_flags.py"],
}


def _speaks(body):
    return isinstance(body[-1], ast.Return | ast.Raise | ast.Assign)


def _early_exits(tree):
    return [node for node in ast.walk(tree) if isinstance(node, ast.If) and _speaks(node.body) and not node.orelse]


def _guard_entries(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.AnnAssign) and getattr(node.target, "id", "") == "GUARDS":
            return node.value.elts
    return []


def mutants(module):
    """Yield (name, source) for every guard of a module removed once."""
    source = (ROOT / "methods" / f"{module}.py").read_text()
    tree = ast.parse(source)
    for index, node in enumerate(_early_exits(tree)):
        where = f"{module}:{node.lineno} {ast.unparse(node.test)[:60]}"
        yield f"{where} removed", _changed(tree, index, None)
        if isinstance(node.test, ast.BoolOp):
            for operand in range(len(node.test.values)):
                yield f"{where} without part {operand + 1}", _changed(tree, index, operand)
    for entry in range(len(_guard_entries(tree))):
        copy = deepcopy(tree)
        gone = _guard_entries(copy).pop(entry)
        yield f"{module}: GUARDS without {gone.id}", ast.unparse(copy)


def _changed(tree, index, operand):
    copy = deepcopy(tree)
    node = _early_exits(copy)[index]
    if operand is None:
        node.test = ast.Constant(False)
    else:
        node.test.values.pop(operand)
    return ast.unparse(ast.fix_missing_locations(copy))


def survives(module, source, folder):
    """Run the room's tests on a copy with one changed module; true when they still pass."""
    shutil.copytree(ROOT / "methods", folder / "methods", ignore=shutil.ignore_patterns("__pycache__", "evaluation"))
    shutil.copytree(
        ROOT / "tests" / "methods", folder / "tests" / "methods", ignore=shutil.ignore_patterns("__pycache__")
    )
    (folder / "tests" / "__init__.py").touch()
    (folder / "methods" / f"{module}.py").write_text(source)
    tests = [f"tests/methods/{name}" for name in SUSPECTS[module]]
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-x",
        "-q",
        "-p",
        "no:django",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:xdist",
    ]
    environment = {
        **os.environ,
        "PYTHONPATH": str(folder),
        "PYTHONDONTWRITEBYTECODE": "1",
        "HYPOTHESIS_PROFILE": "guards",
    }
    options = ["-c", os.devnull, "--rootdir", str(folder), "--import-mode=importlib"]
    done = subprocess.run(
        [*command, *options, *tests], cwd=folder, env=environment, capture_output=True, timeout=300, check=False
    )
    return done.returncode == 0


@pytest.mark.parametrize("module", SUSPECTS)
def test_removing_any_guard_makes_the_suite_fail(module, tmp_path):
    cases = list(mutants(module))
    assert cases

    def run(numbered):
        number, (name, source) = numbered
        folder = tmp_path / str(number)
        folder.mkdir()
        alive = survives(module, source, folder)
        shutil.rmtree(folder)
        return name if alive else None

    with ThreadPoolExecutor(2) as pool:
        alive = [name for name in pool.map(run, enumerate(cases)) if name]

    assert alive == [], f"{len(alive)} of {len(cases)} guards are not missed"


@pytest.mark.parametrize("module", SUSPECTS)
def test_the_unchanged_copy_passes(module, tmp_path):
    """Or every mutant would seem to be caught."""
    assert survives(module, (ROOT / "methods" / f"{module}.py").read_text(), tmp_path)
