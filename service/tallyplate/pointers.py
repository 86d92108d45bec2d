"""Places in a request by JSON Pointer (RFC 6901): what stands there, and setting it anew."""

from collections.abc import Mapping
from copy import copy
from typing import Any


def steps(pointer: str) -> list[str]:
    """The steps of a pointer, unescaped."""
    return [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]


def found(place: Any, pointer: str) -> Any:  # noqa: ANN401 - it is JSON
    """What stands at a pointer; an empty object where nothing does."""
    for step in steps(pointer):
        place = place[int(step)] if isinstance(place, list) else place.get(step, {})
    return place


def applied(request: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """A copy of a request with new values by pointer, None leaving a field out; missing parents are made as objects."""
    made: dict[str, Any] = dict(request)
    for pointer, value in changes.items():
        *parents, last = steps(pointer)
        place: Any = made
        for step in parents:
            # What is on the way is copied; what lies beside it is shared, and nobody writes to it.
            at: Any = int(step) if isinstance(place, list) else step
            place[at] = copy(place[at]) if isinstance(place, list) or at in place else {}
            place = place[at]
        if value is None:
            place.pop(last, None)
        else:
            place[last] = list(value) if isinstance(value, tuple) else value
    return made
