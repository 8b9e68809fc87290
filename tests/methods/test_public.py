"""Every public function of the room: units, how sure its figures are, an example that runs, and no answer to NaN."""

import doctest
import importlib
import inspect
import pkgutil
import re
from dataclasses import dataclass
from functools import cache
from math import nan
from pathlib import Path

import methods

ROOM = Path(methods.__file__).parent
REFERENCES = (ROOM / "REFERENCES.md").read_text()
TAG = re.compile(r"Evidence: (?:[^\n]*\n)*?[^\n]*\b(?:V2?|M|A|T)\b")
UNIT = re.compile(r"\[[^\]]+\]")


@dataclass(frozen=True)
class Public:
    """One public function, and the calls that its example makes."""

    module: object
    name: str
    function: object

    def __str__(self):
        return f"{self.module.__name__.removeprefix('methods.')}.{self.name}"

    @property
    def doc(self):
        return self.function.__doc__ or ""

    @property
    def gives_a_number(self):
        return "float" in str(inspect.signature(self.function).return_annotation)


def modules():
    names = sorted(info.name for info in pkgutil.iter_modules(methods.__path__) if info.name != "evaluation")
    return [importlib.import_module(f"methods.{name}") for name in names]


@cache
def public():
    found = []
    for module in modules():
        for name, thing in vars(module).items():
            function = inspect.unwrap(thing) if callable(thing) else None
            if inspect.isfunction(function) and function.__module__ == module.__name__ and not name.startswith("_"):
                found.append(Public(module, name, function))
    return found


def missing(is_there):
    return [str(each) for each in public() if not is_there(each)]


def test_there_are_public_functions():
    assert len(public()) > 150


def test_each_has_an_example():
    assert missing(lambda each: ">>>" in each.doc) == []


def test_each_says_how_sure_its_figures_are():
    assert missing(lambda each: TAG.search(each.doc)) == []


def test_each_number_has_its_unit_in_the_first_paragraph():
    assert missing(lambda each: not each.gives_a_number or UNIT.search(each.doc.split("\n\n")[0])) == []


def test_each_doi_is_in_the_bibliography():
    named = {doi.rstrip(".,)") for path in ROOM.glob("*.py") for doi in re.findall(r"doi:(\S+)", path.read_text())}

    assert sorted(doi for doi in named if doi not in REFERENCES) == []


def test_each_first_author_is_in_the_bibliography():
    cited = re.compile(r"\.\. \[\d\] (?:[A-Z]\. )+(?:de )?([A-Z][\w'-]+)")
    named = {name for path in ROOM.glob("*.py") for name in cited.findall(path.read_text())}

    assert sorted(name for name in named if name not in REFERENCES) == []


def calls_of(each):
    """Run the function's example with the function listening, and give the arguments of its first call."""
    heard = []

    def listening(*args, **kwargs):
        heard.append((args, kwargs))
        return each.function(*args, **kwargs)

    scope = dict(vars(each.module)) | {each.name: listening}
    for test in doctest.DocTestFinder(recurse=False).find(each.function, each.name, module=each.module, globs=scope):
        doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(test, out=lambda _: None)
    return heard[:1]


def is_number(value):
    return isinstance(value, int | float) and not isinstance(value, bool)


def with_nan(value):
    """The value with one number in it turned into NaN, or nothing where it holds none."""
    if is_number(value) and type(value) in (int, float):
        yield nan
    elif isinstance(value, list | tuple) and not hasattr(value, "_fields"):
        for index, inner in enumerate(value[:3]):
            for broken in with_nan(inner):
                yield type(value)((*value[:index], broken, *value[index + 1 :]))
    elif isinstance(value, dict):
        for key, inner in value.items():
            for broken in with_nan(inner):
                yield value | {key: broken}


def broken_calls(each):
    for args, kwargs in calls_of(each):
        for index, value in enumerate(args):
            for broken in with_nan(value):
                yield (*args[:index], broken, *args[index + 1 :]), kwargs
        for key, value in kwargs.items():
            for broken in with_nan(value):
                yield args, kwargs | {key: broken}


# Arrays carry NaN on purpose: it is their "nobody knows". The others take positions, an identifier, or anything.
TAKES_NAN = {
    "load.monotony_array", "load.ewma_array", "strength.one_repetition_maximum_array", "queue.queue_key",
    "queue.worst_lateness", "queue.weighted_finish", "undefined.value_or_none",
}  # fmt: skip


def answers_to_nan(each):
    for args, kwargs in broken_calls(each):
        try:
            each.function(*args, **kwargs)
        except ValueError:
            continue
        except (ArithmeticError, AttributeError, TypeError) as accident:
            yield f"{each}{args}{kwargs or ''}: {accident!r}"
        else:
            yield f"{each}{args}{kwargs or ''}"


def test_none_answers_to_what_is_no_number():
    answers = [answer for each in public() if str(each) not in TAKES_NAN for answer in answers_to_nan(each)]

    assert answers == []


def test_what_may_take_nan_exists():
    assert {str(each) for each in public()} >= TAKES_NAN
