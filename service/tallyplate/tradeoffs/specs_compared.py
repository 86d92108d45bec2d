"""What two requests ask differently, answer by answer, whether the caller gave it or the shop assumed it."""

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from tallyplate.contract import Assumption
from tallyplate.decoding import escaped
from tallyplate.units import UnitError, length

Leaf = str | int | float | bool | tuple[str | int | float | bool | None, ...] | None
"""An answer as JSON says it; null where a request has none."""


class SpecDifference(Struct, frozen=True):
    """One answer that differs; null where a request has no such field."""

    pointer: str
    a: Leaf
    b: Leaf


def differences(
    a: Mapping[str, Any],
    b: Mapping[str, Any],
    assumed_in_a: tuple[Assumption, ...] = (),
    assumed_in_b: tuple[Assumption, ...] = (),
) -> tuple[SpecDifference, ...]:
    """What differs, in the order of the first request; one length in two units does not."""
    in_a, in_b = (
        {**dict(_leaves(asked, "")), **{one.pointer: _leaf(one.value) for one in assumed}}
        for asked, assumed in ((a, assumed_in_a), (b, assumed_in_b))
    )
    return tuple(
        SpecDifference(pointer, in_a.get(pointer), in_b.get(pointer))
        for pointer in dict.fromkeys([*in_a, *in_b])
        if not _same(in_a.get(pointer), in_b.get(pointer))
    )


def _leaves(value: Any, pointer: str) -> Iterator[tuple[str, Leaf]]:  # noqa: ANN401 - it is JSON
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves(inner, f"{pointer}/{escaped(key)}")
    elif isinstance(value, list) and any(isinstance(one, dict | list) for one in value):
        for index, inner in enumerate(value):
            yield from _leaves(inner, f"{pointer}/{index}")
    else:
        yield pointer, _leaf(value)


def _leaf(value: Any) -> Leaf:  # noqa: ANN401 - it is JSON
    leaf: Leaf = tuple(value) if isinstance(value, list) else value
    return leaf


def _same(a: Leaf, b: Leaf) -> bool:
    if type(a) is not type(b) or not isinstance(a, str) or not isinstance(b, str):
        return type(a) is type(b) and a == b
    try:
        return a == b or length(a) == length(b)
    except UnitError:
        return False
