"""The published schema: what another program makes of it, beside what our own check says."""

import json
import uuid

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from programs.domain.exchange.as_json import from_json, to_json
from programs.domain.exchange.schema import SCHEMA
from programs.domain.exchange.validating import faults_of
from programs.errors import BlockFileRefused
from tests.programs.domain.test_exchange import JSON_VALUES, WRONG_DOSES, document, everything, places_in

PUBLISHED = Draft202012Validator(SCHEMA)
# What no word of JSON Schema says, or says exactly: refused by ours alone.
OURS_ALONE = ("decimals at most.", "There is a sign in it that is no text. Remove it.")


def is_valid_to_others(text):
    return PUBLISHED.is_valid(json.loads(text))


def faults_against_the_schema(text):
    return [fault for fault in faults_of(from_json(text), SCHEMA) if not fault.reason.endswith(OURS_ALONE)]


def test_schema_uses_no_word_that_the_check_does_not_know():
    known = {"type", "properties", "required", "additionalProperties", "dependentRequired", "items", "minItems"}
    known |= {"maxItems", "minimum", "maximum", "exclusiveMinimum", "decimals", "enum", "const", "pattern"}
    known |= {"minLength", "maxLength", "description"}

    def walk(schema):
        assert set(schema) <= known, schema
        for inner in schema.get("properties", {}).values():
            walk(inner)
        if "items" in schema:
            walk(schema["items"])

    walk({name: value for name, value in SCHEMA.items() if name not in {"$schema", "$id", "title"}})


def test_schema_is_one():
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("changes", [changes for changes, _name in WRONG_DOSES], ids=str)
def test_wrong_dose_is_wrong_by_the_schema_to_others_exactly_where_it_is_to_us(changes):
    text = to_json(document(**changes)).decode()

    assert is_valid_to_others(text) == (not faults_against_the_schema(text))


@pytest.mark.parametrize("changes", [{"sets": 21}, {"step_rir": -3.1}, {"grip": "hook"}, {"easier": "push-up"}])
def test_others_refuse_what_is_out_of_range_or_half_said(changes):
    assert not is_valid_to_others(to_json(document(**changes)))


def changed(whole, places, value):
    found = json.loads(json.dumps(whole))
    for *path, last in sorted(places, key=len, reverse=True):
        part = found
        for name in path:
            part = part[name]
        part[last] = value
    return found


WHOLE = everything()
NUMBERS = st.integers(-70, 4000) | st.integers(-40, 1100).map(lambda tenths: tenths / 10)


@settings(max_examples=400)
@given(
    places=st.lists(st.sampled_from(list(places_in(WHOLE))), min_size=1, max_size=3),
    value=JSON_VALUES | NUMBERS | st.sampled_from(["reps", "kg", "cluster", "every", "neutral", str(uuid.uuid4())]),
)
def test_anything_anywhere_is_valid_to_others_exactly_where_it_is_to_us(places, value):
    # Python reads `$` as before a last line break too; regular expressions of JSON Schema do not.
    text = json.dumps(changed(WHOLE, places, value)).replace("\\n", " ")
    try:
        faults = faults_against_the_schema(text)
    except BlockFileRefused:
        faults = ["not JSON"]

    assert is_valid_to_others(text) == (not faults)
