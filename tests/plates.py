"""One installation for all tests, and requests that differ from a good one in named fields."""

import json
from collections.abc import Mapping
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any, Final

import tallyplate
from tallyplate.contract import Build, Usual
from tallyplate.inquiry import read

ROOT: Final = Path(__file__).parent.parent
EXAMPLES: Final = ROOT / "openapi" / "examples"
DATA: Final = ROOT / "plugins" / "tallyplate_plugins" / "data"


class _Absent:
    def __repr__(self) -> str:
        return "ABSENT"


ABSENT: Final = _Absent()
"""As the new value of a field: leave the field out."""

MINIMAL: Final[dict[str, Any]] = {
    "plate": {"family": "rectangular", "length": "10 in", "width": "8 in", "material": "al-6061-t6"},
    "as_of": "2026-03-02",
}


@cache
def installation() -> tallyplate.Installation:
    """What is installed, with the demonstration's data."""
    return tallyplate.load()


@cache
def _readme() -> dict[str, Any]:
    return json.loads((EXAMPLES / "plate.json").read_text())


def request(changes: Mapping[str, Any] | None = None, base: dict[str, Any] | None = None) -> dict[str, Any]:
    """The first example, or another base, with the fields at some JSON Pointers set anew."""
    made = deepcopy(_readme() if base is None else base)
    for pointer, value in (changes or {}).items():
        *parents, last = pointer.split("/")[1:]
        place = made
        for step in parents:
            place = place.setdefault(step, {})
        if value is ABSENT:
            del place[last]
        else:
            place[last] = value
    return made


def built(changes: Mapping[str, Any] | None = None, base: dict[str, Any] | None = None) -> Build:
    """What the shop would make of such a request."""
    here = installation()
    inquiry = read(request(changes, base), here.families)
    return here.families[inquiry.family].build(inquiry.plate, here.shops[-1], Usual())


def answer(changes: Mapping[str, Any] | None = None, base: dict[str, Any] | None = None) -> dict[str, Any]:
    """The priced answer to such a request, as a caller reads it."""
    return json.loads(installation().price_json(json.dumps(request(changes, base)).encode()))


def findings(changes: Mapping[str, Any] | None = None) -> dict[str, dict[str, str]]:
    """What the checks say of such a request, by code."""
    return {finding["code"]: finding for finding in answer(changes)["findings"]}
