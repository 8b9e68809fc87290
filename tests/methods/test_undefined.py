import pytest

from methods.undefined import Undefined


def test_undefined_is_falsy_and_keeps_its_reason():
    assert (bool(Undefined("no load")), Undefined("no load").reason) == (False, "no load")


def test_undefined_without_reason_is_refused():
    with pytest.raises(ValueError, match="reason"):
        Undefined("")
