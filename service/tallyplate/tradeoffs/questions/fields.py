"""The field of a family's spec that a JSON Pointer leads to: its type, and what its author says of it."""

from collections.abc import Iterator
from functools import cache
from typing import Any, Final

import msgspec
from msgspec import Struct
from msgspec import inspect as kinds

from tallyplate.contract import PlateSpec
from tallyplate.decoding import escaped
from tallyplate.tradeoffs.choices import bare


class Asked(Struct, frozen=True):
    """A field that may be asked for: its name, title and description, its type and its examples."""

    name: str
    title: str
    description: str
    kind: kinds.Type
    examples: tuple[Any, ...]


@cache
def field(spec: type[PlateSpec], pointer: str) -> Asked | None:
    """What stands at a pointer such as `/plate/pattern/pitch`; places in a list are numbers, and all alike.

    None where the spec has no such field: a family may note an answer that its callers cannot give.
    """
    kind: kinds.Type = kinds.type_info(spec)
    said: dict[str, Any] = {}
    name = ""
    for step in pointer.split("/")[2:]:
        if isinstance(kind, kinds.CollectionType):
            said, kind = _said(kind.item_type), bare(kind.item_type)
            continue
        name = step.replace("~1", "/").replace("~0", "~")
        fields = kind.fields if isinstance(kind, kinds.StructType) else ()
        of = next((one for one in fields if one.encode_name == name), None)
        if of is None:
            return None
        said, kind = _said(of.type), bare(of.type)
    title = str(said.get("title") or name.replace("_", " ").capitalize())
    return Asked(name, title, str(said.get("description", "")), kind, tuple(said.get("examples", ())))


def leaves(spec: type[PlateSpec], pointer: str) -> Iterator[str]:
    """A field, or in place of an object every field that it must have."""
    of = field(spec, pointer)
    if of is None or not isinstance(of.kind, kinds.StructType):
        yield pointer
        return
    for one in of.kind.fields:
        if one.required:
            yield from leaves(spec, f"{pointer}/{escaped(one.encode_name)}")


@cache
def listed(spec: type[PlateSpec]) -> dict[str, Any]:
    """The fields of a spec that have a default among a list of answers, by pointer: they are answered unless given."""
    found = {}
    for one in msgspec.structs.fields(spec):
        kind = bare(kinds.type_info(one.type))
        of = bare(kind.item_type) if isinstance(kind, kinds.CollectionType) else kind
        if isinstance(of, kinds.LiteralType | kinds.EnumType | kinds.BoolType) and one.default not in NOTHING:
            found[f"/plate/{escaped(one.encode_name)}"] = msgspec.to_builtins(one.default)
    return found


NOTHING: Final = (msgspec.NODEFAULT, msgspec.UNSET, None)
"""Defaults that are no answers."""


def _said(kind: kinds.Type) -> dict[str, Any]:
    """What is said about a type, also where None or nothing may stand in its place."""
    if isinstance(kind, kinds.Metadata):
        return {**_said(kind.type), **(kind.extra_json_schema or {})}
    if isinstance(kind, kinds.UnionType):
        return {key: value for part in kind.types for key, value in _said(part).items()}
    return {}
