"""Plates made from the examples that a spec states."""

import json
from collections.abc import Iterator
from typing import Any

from msgspec import inspect

from tallyplate.contract import Build, PlateSpec
from tallyplate.proof.plates import Json
from tallyplate.proof.specs import examples


def fields(kind: type) -> tuple[inspect.Field, ...]:
    """The fields of a struct, as msgspec tells them."""
    told = inspect.type_info(kind)
    return told.fields if isinstance(told, inspect.StructType) else ()


def bare(told: Any) -> Any:  # noqa: ANN401 - a type of msgspec's own tree
    """A type without its annotations."""
    return told.type if isinstance(told, inspect.Metadata) else told


def said_of(told: Any) -> dict[str, Any]:  # noqa: ANN401 - a type of msgspec's own tree
    """What annotations say of a type: its title and examples."""
    return (told.extra_json_schema if isinstance(told, inspect.Metadata) else None) or {}


def example_plates(name: str, spec: type[PlateSpec]) -> list[Json]:
    """A plate of the first example of each answer that must be given, then one for each other example."""
    return list(_plates({"family": name, **examples(spec)}, spec))


def _plates(first: Json, spec: type[PlateSpec]) -> Iterator[Json]:
    yield first
    for field in fields(spec):
        for example in said_of(field.type).get("examples", ()):
            if first.get(field.encode_name) != example:
                yield first | {field.encode_name: example}


def asked(plate: Json) -> str:
    """A plate as it may be sent again."""
    return json.dumps(plate, ensure_ascii=False)


def briefly(build: Build) -> str:
    """A build in one line: enough to see what a counter-example is about."""
    body, blank = build.body, build.blank
    sizes = (f"{box.length:g} x {box.width:g} x {box.thickness:g} mm" for box in (body, blank))
    holes = ", ".join(f"{group.count} {group.kind}" for group in build.holes)
    return (
        f"{body.material} {' from a blank of '.join(sizes)}, holes: {holes or 'none'}, position within "
        f"{build.position_tolerance:g} mm, {build.setups} setups, {build.finish}"
    )
