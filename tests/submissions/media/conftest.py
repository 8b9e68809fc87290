from collections.abc import Callable
from pathlib import Path

import pytest

from coaching.demo.figures import Truth, Variant, draw_clip

# Small, because what is tested does not depend on the size.
SMALL = (270, 480)
KINDS: dict[str, dict] = {
    "steady-30": {"fps": 30},
    "steady-60": {"fps": 60},
    "dropped": {"fps": 60, "variant": Variant(timing="dropped")},
    "jittered": {"fps": 60, "variant": Variant(timing="jittered", sound=True)},
    "loci": {"variant": Variant(place="loci", sound=True)},
    "xyz": {"variant": Variant(place="xyz")},
    "mdta-hlg": {"variant": Variant(place="mdta", hdr="hlg", sound=True)},
    "pq": {"variant": Variant(hdr="pq")},
    "upright": {"rotation_flag": False},
}

DrawnClip = tuple[Path, Truth]


@pytest.fixture(scope="session")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], DrawnClip]:
    """Draw each kind once for all tests; they must not write to it."""
    folder, made = tmp_path_factory.mktemp("drawn"), {}

    def draw(kind: str) -> DrawnClip:
        if kind not in made:
            path = folder / kind
            made[kind] = (path, draw_clip(path, seconds=1, size=SMALL, **KINDS[kind]))
        return made[kind]

    return draw
