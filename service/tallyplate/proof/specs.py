"""What a family asks for, read from its spec: so that a stranger's family is tried on the day it is installed."""

from functools import cache
from typing import Any, Final

from msgspec import inspect

from tallyplate.contract import Length, Mounting, Pattern, PlateSpec

FLAT: Final = {"length": Length, "width": Length, "thickness": Length, "pattern": Pattern, "mounting": Mounting}
"""What a spec asks, and as which type, where its plates are flat and rectangular."""


def asks(spec: type, name: str, kind: type) -> bool:
    """Whether a spec has an answer of that name and type."""
    return any(field.encode_name == name and _class(field) is kind for field in _fields(spec))


def flat(spec: type[PlateSpec]) -> bool:
    """Whether a spec is of flat rectangular plates, for which growth and a coarser pattern have a meaning."""
    return all(asks(spec, name, kind) for name, kind in FLAT.items())


def examples(spec: type[PlateSpec]) -> dict[str, Any]:
    """The first example of each answer that a spec requires."""
    return {field.encode_name: found[0] for field in _fields(spec) if field.required and (found := _examples(field))}


def unexampled(spec: type[PlateSpec]) -> tuple[str, ...]:
    """The answers that a spec requires and gives no example of."""
    return tuple(field.encode_name for field in _fields(spec) if field.required and not _examples(field))


def choices(spec: type, name: str) -> tuple[str, ...]:
    """What an answer, or each item of it, may be."""
    (kind,) = [_bare(field) for field in _fields(spec) if field.encode_name == name]
    values: tuple[str, ...] = getattr(kind, "item_type", kind).values
    return values


@cache
def _fields(spec: type) -> tuple[inspect.Field, ...]:
    told = inspect.type_info(spec)
    assert isinstance(told, inspect.StructType)  # noqa: S101 - specs are structs
    return told.fields


def _bare(field: inspect.Field) -> Any:  # noqa: ANN401 - a type of msgspec's own tree
    return field.type.type if isinstance(field.type, inspect.Metadata) else field.type


def _class(field: inspect.Field) -> object:
    return getattr(_bare(field), "cls", None)


def _examples(field: inspect.Field) -> list[Any]:
    schema = field.type.extra_json_schema if isinstance(field.type, inspect.Metadata) else None
    return list((schema or {}).get("examples", ()))
