"""The answers in a quote's request, one at a time."""

from collections.abc import Iterator, Mapping
from typing import Any


def answers(value: Any, name: str = "") -> Iterator[tuple[str, str]]:  # noqa: ANN401 - it is JSON
    """Every answer as text, by its name such as `pattern/pitch`; places of a list are counted from 0."""
    if isinstance(value, Mapping | list):
        for step, inner in value.items() if isinstance(value, Mapping) else enumerate(value):
            yield from answers(inner, f"{name}/{step}" if name else str(step))
    elif value is not None:
        yield name, str(value).lower() if isinstance(value, bool) else str(value)
