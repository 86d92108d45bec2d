"""Changes to a request by JSON Pointer, and the fields that make way for others."""

from collections.abc import Mapping
from typing import Any, Final

from tallyplate.contract import Refusal
from tallyplate.decoding import escaped
from tallyplate.pointers import found
from tallyplate.tradeoffs.choices import Value

Changes = Mapping[str, Value | None]
"""New values by JSON Pointer into the request; None leaves a field out."""

MOVED: Final = {
    name: f"locating/{name}" for name in ("pitch", "origin", "pitch_across", "rows_left_out", "columns_left_out")
}
"""Where a separate arrangement states what another says of its only lattice."""


def making_way(request: Mapping[str, Any], pointer: str, refusal: Refusal) -> dict[str, Value | None]:
    """The changes by which fields beside a new choice make way, where it leaves them no meaning.

    A surface of none leaves a slot width without meaning; a separate arrangement takes a pitch at another place. There
    are none where anything else is at fault too, or where a field that is at fault is not the caller's.
    """
    beside = pointer.rpartition("/")[0]
    place = found(request, beside)
    changes: dict[str, Value | None] = {}
    moved = MOVED if pointer.endswith("/arrangement") else {}
    for fault in refusal.faults:
        parent, _, name = fault.pointer.rpartition("/")
        if parent != beside or fault.pointer == pointer or name not in place:
            return {}
        changes[fault.pointer] = None
        for here, there in moved.items():
            if name == here:
                changes |= _leaves(f"{beside}/{there}", place[name])
            elif there.startswith(f"{name}/"):
                changes |= _leaves(f"{beside}/{here}", found(place, f"/{there}"))
    return changes


def _leaves(pointer: str, value: Any) -> dict[str, Value | None]:  # noqa: ANN401 - it is JSON
    if isinstance(value, dict):
        inner = (_leaves(f"{pointer}/{escaped(key)}", one) for key, one in value.items())
        return {at: leaf for part in inner for at, leaf in part.items()}
    return {pointer: value}
