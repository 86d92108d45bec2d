"""Effects as tests look at them: found for a request, and applied to it by other means than the service's."""

import json
from collections.abc import Mapping
from typing import Any, Final

import msgspec

import tallyplate
from tallyplate.answers import PriceAnswer
from tallyplate.http.effects import start
from tallyplate.tradeoffs.effects import effects
from tests.plates import installation

ROUND: Final[dict[str, Any]] = {
    "plate": {
        "family": "round",
        "diameter": "400 mm",
        "thickness": "40 mm",
        "material": "al-6061-t6",
        "bolt_circles": [
            {"diameter": "300 mm", "count": 6, "screw": "M12"},
            {"diameter": "200 mm", "count": 4, "screw": "M10", "kind": "holding"},
        ],
    },
    "as_of": "2026-03-02",
}


REWORK: Final[dict[str, Any]] = {
    "plate": {
        "family": "rework",
        "length": "600 mm",
        "width": "400 mm",
        "thickness": "40 mm",
        "material": "acetal",
        "pattern": {"pitch": "50 mm", "screw": "M12"},
    },
    "as_of": "2026-03-02",
}


def found(request: Any, here: tallyplate.Installation | None = None) -> dict[str, Any]:
    """The answer to a request for effects, as a caller reads it."""
    answer: dict[str, Any] = json.loads(msgspec.json.encode(effects(start(request, here or installation()))))
    return answer


def at(answer: Mapping[str, Any], pointer: str) -> dict[Any, dict[str, Any]]:
    """The effects of one field by the neighbour's value, a list as a tuple."""
    return {
        tuple(one["neighbour"]) if isinstance(one["neighbour"], list) else one["neighbour"]: one
        for one in answer["effects"]
        if one["pointer"] == pointer
    }


def curve(answer: Mapping[str, Any], name: str) -> list[dict[str, Any]]:
    """The points of a curve."""
    (found,) = [one for one in answer["curves"] if one["name"] == name]
    points: list[dict[str, Any]] = found["points"]
    return points


def with_changes(request: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """A request with changes made as a caller makes them: null leaves a field out."""
    made: dict[str, Any] = json.loads(json.dumps(request))
    for pointer, value in changes.items():
        *parents, last = pointer.split("/")[1:]
        place: Any = made
        for step in parents:
            place = place[int(step)] if isinstance(place, list) else place.setdefault(step, {})
        if value is None:
            del place[last]
        else:
            place[last] = value
    return made


def price(request: Any) -> PriceAnswer:
    """The price of a request."""
    return installation().price(request)
