"""Rules with one thing missing: each guard of a module taken out or turned round, and whether its suite misses it.

`python -m tests.soak.mutating programs.domain.fitting '["tests/..."]'` prints the versions that a suite passes, as
JSON. Django and the tools are loaded once; each version is tried in a forked child that finds the changed file first.
"""

import ast
import contextlib
import importlib
import io
import json
import os
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from copy import deepcopy
from pathlib import Path

ROOT = Path(__file__).parents[2]
_BORDERS = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
_YES_OR_NO = (ast.Compare, ast.BoolOp)
_OTHER = {"any": "all", "all": "any"}
# Longer than any suite takes: a version that never ends is missed by it too.
PATIENCE_S = 120

Change = Callable[[ast.AST], None]


def mutants(source: str, only: frozenset[str] = frozenset()) -> dict[str, str]:
    """Every version of a source with one guard less, by a name; of all functions, or of those named in `only`.

    Names say the function and the words of the guard, so that they outlive other edits of the file.
    """
    tree = ast.parse(source)
    inside = _functions(tree)
    seen: Counter[str] = Counter()
    found = {}
    for index, node in enumerate(ast.walk(tree)):
        where = inside.get(node, "module")
        if where == "module" and not isinstance(node, ast.Tuple):
            # How a dataclass is made is no guard.
            continue
        if only and where not in only:
            continue
        for what, change in _changes(node):
            name = f"{where}: {what}"
            seen[name] += 1
            copy = deepcopy(tree)
            change(list(ast.walk(copy))[index])
            version = ast.unparse(ast.fix_missing_locations(copy))
            found[name if seen[name] == 1 else f"{name} ({seen[name]})"] = version
    return found


def _functions(tree: ast.Module) -> dict[ast.AST, str]:
    """The innermost named function around every node."""
    found: dict[ast.AST, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            found.update(dict.fromkeys(ast.walk(node), node.name))
    return found


def _changes(node: ast.AST) -> Iterator[tuple[str, Change]]:
    if isinstance(node, ast.If | ast.IfExp):
        words = ast.unparse(node.test)
        yield f"never {words}", _setting("test", lambda _: ast.Constant(False))
        yield f"turned round {words}", _setting("test", _not)
    if isinstance(node, ast.BoolOp):
        for place, part in enumerate(node.values):
            yield f"without {ast.unparse(part)}", _popping("values", place)
    if isinstance(node, ast.comprehension):
        for place, part in enumerate(node.ifs):
            yield f"without if {ast.unparse(part)}", _popping("ifs", place)
    if isinstance(node, ast.Return) and isinstance(node.value, _YES_OR_NO):
        yield f"turned round return {ast.unparse(node.value)}", _setting("value", _not)
    if isinstance(node, ast.Compare) and type(node.ops[0]) in _BORDERS:
        yield f"border of {ast.unparse(node)}", _other_border
    if isinstance(node, ast.Call):
        yield from _changes_of_call(node)
    if isinstance(node, ast.Tuple) and all(isinstance(part, ast.Name) for part in node.elts):
        for place, part in enumerate(node.elts):
            if ast.unparse(part).startswith("guard_"):
                yield f"list without {ast.unparse(part)}", _popping("elts", place)
    if isinstance(node, ast.FunctionDef | ast.If | ast.For):
        for place, statement in enumerate(node.body):
            if _rebinds(statement):
                yield f"left out {ast.unparse(statement)}", _passing(place)


def _changes_of_call(node: ast.Call) -> Iterator[tuple[str, Change]]:
    called = ast.unparse(node.func)
    if called in {"min", "max"} and len(node.args) > 1:
        for place, part in enumerate(node.args):
            yield f"{called} without {ast.unparse(part)}", _popping("args", place, as_list=True)
    if called in _OTHER:
        yield f"{_OTHER[called]} for {ast.unparse(node)}", _setting("func", lambda _: ast.Name(_OTHER[called]))
    for place, keyword in enumerate(node.keywords):
        if keyword.arg is not None:
            yield f"{called} without {ast.unparse(keyword)}", _popping("keywords", place)


def _rebinds(statement: ast.AST) -> bool:
    """Whether a statement makes something else of what it had: `dose = lessened(dose, ...)`."""
    if not isinstance(statement, ast.Assign) or not isinstance(statement.targets[0], ast.Name):
        return False
    name = statement.targets[0].id
    return any(isinstance(part, ast.Name) and part.id == name for part in ast.walk(statement.value))


def _setting(field: str, making: Callable[[ast.expr], ast.expr]) -> Change:
    return lambda node: setattr(node, field, making(getattr(node, field)))


def _popping(field: str, place: int, *, as_list: bool = False) -> Change:
    def change(node: ast.AST) -> None:
        parts = getattr(node, field)
        parts.pop(place)
        if as_list:
            # min(x) of one number is an error, min([x]) a version.
            setattr(node, field, [ast.List(list(parts), ast.Load())])

    return change


def _passing(place: int) -> Change:
    return lambda node: node.body.__setitem__(place, ast.Pass())  # type: ignore[attr-defined]


def _not(expression: ast.expr) -> ast.expr:
    return ast.UnaryOp(ast.Not(), expression)


def _other_border(node: ast.AST) -> None:
    node.ops[0] = _BORDERS[type(node.ops[0])]()  # type: ignore[attr-defined]


def survivors(
    module: str, tests: list[str], *, part: tuple[int, int] = (1, 1), only: tuple[str, ...] = ()
) -> dict[str, list[str]]:
    """The names of the versions that were tried, and of those that the tests pass, in a process of its own."""
    asked = json.dumps({"module": module, "tests": tests, "part": part, "only": only})
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "coaching.settings.test",
        "PYTHONDONTWRITEBYTECODE": "1",
        "HYPOTHESIS_PROFILE": "same_examples",
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.soak.mutating", asked],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(done.stderr)
    return json.loads(done.stdout)  # type: ignore[no-any-return]


def main(asked: dict[str, object]) -> None:
    """Try the unchanged module first: were its suite not green, every version would seem to be caught."""
    import django  # noqa: PLC0415 -- once, before the children

    django.setup()
    for name in ("pytest", "hypothesis", "tests.factories"):
        importlib.import_module(name)
    module, tests = str(asked["module"]), list(asked["tests"])  # type: ignore[call-overload]
    source = (ROOT / (module.replace(".", "/") + ".py")).read_text()
    if not _lives(module, source, tests):
        raise SystemExit(f"the tests of {module} fail as it is")
    share, of = asked["part"]  # type: ignore[misc]
    cases = list(mutants(source, frozenset(asked["only"])).items())[share - 1 :: of]  # type: ignore[call-overload]
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        lives = list(pool.map(lambda case: _lives(module, case[1], tests), cases))
    alive = [name for (name, _), lived in zip(cases, lives, strict=True) if lived]
    sys.stdout.write(json.dumps({"tried": [name for name, _ in cases], "alive": alive}))


def _lives(module: str, source: str, tests: list[str]) -> bool:
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / (module.rpartition(".")[2] + ".py")).write_text(source)
        child = os.fork()
        if child == 0:
            code = 1
            try:
                code = _suite(module, folder, tests)
            finally:
                os._exit(code)
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def _suite(module: str, folder: str, tests: list[str]) -> int:
    import signal  # noqa: PLC0415

    import pytest  # noqa: PLC0415 -- loaded by the parent

    signal.alarm(PATIENCE_S)
    package = importlib.import_module(module.rpartition(".")[0])
    package.__path__.insert(0, folder)
    options = ["-x", "-q", "-n", "0", "-p", "no:cacheprovider", *tests]
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        # Told examples first: they are quick. The generated ones only for what lives through them.
        return int(pytest.main(["-m", "not hypothesis", *options]) or pytest.main(["-m", "hypothesis", *options]))


if __name__ == "__main__":
    main(json.loads(sys.argv[1]))
