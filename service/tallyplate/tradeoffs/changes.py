"""Changes to a request: fields set anew by JSON Pointer (RFC 6901), and fields that make way for others."""

from collections.abc import Mapping
from copy import deepcopy
from typing import Any, Final

from tallyplate.contract import Refusal
from tallyplate.decoding import escaped
from tallyplate.tradeoffs.choices import Value

Changes = Mapping[str, Value | None]
"""New values by JSON Pointer into the request; None leaves a field out."""

MOVED: Final = {"pitch": "locating/pitch", "origin": "locating/origin"}
"""Where a separate arrangement states what another says of its only lattice."""


def applied(request: Mapping[str, Any], changes: Changes) -> dict[str, Any]:
    """A copy of a request with the changes made; parents that are missing are made as objects."""
    made: dict[str, Any] = deepcopy(dict(request))
    for pointer, value in changes.items():
        *parents, last = _steps(pointer)
        place: Any = made
        for step in parents:
            place = place[int(step)] if isinstance(place, list) else place.setdefault(step, {})
        if value is None:
            place.pop(last, None)
        else:
            place[last] = list(value) if isinstance(value, tuple) else value
    return made


def making_way(request: Mapping[str, Any], pointer: str, refusal: Refusal) -> dict[str, Value | None]:
    """The changes by which fields beside a new choice make way, where it leaves them no meaning.

    A surface of none leaves a slot width without meaning; a separate arrangement takes a pitch at another place. There
    are none where anything else is at fault too, or where a field that is at fault is not the caller's.
    """
    beside = pointer.rpartition("/")[0]
    place = _found(request, beside)
    changes: dict[str, Value | None] = {}
    for fault in refusal.faults:
        parent, _, name = fault.pointer.rpartition("/")
        if parent != beside or fault.pointer == pointer or name not in place:
            return {}
        changes[fault.pointer] = None
        for here, there in MOVED.items():
            if name == here:
                changes |= _leaves(f"{beside}/{there}", place[name])
            elif there.startswith(f"{name}/"):
                changes |= _leaves(f"{beside}/{here}", _found(place, f"/{there}"))
    return changes


def _steps(pointer: str) -> list[str]:
    return [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]


def _found(place: Any, pointer: str) -> Any:  # noqa: ANN401 - it is JSON
    """What stands at a pointer; an empty object where nothing does."""
    for step in _steps(pointer):
        place = place[int(step)] if isinstance(place, list) else place.get(step, {})
    return place


def _leaves(pointer: str, value: Any) -> dict[str, Value | None]:  # noqa: ANN401 - it is JSON
    if isinstance(value, dict):
        inner = (_leaves(f"{pointer}/{escaped(key)}", one) for key, one in value.items())
        return {at: leaf for part in inner for at, leaf in part.items()}
    return {pointer: value}
