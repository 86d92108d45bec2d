"""What the schema of a plate says of each field, so that a form can be drawn from it, whoever wrote the family.

A title for every field, a type for every choice, and of every length that it is text with a unit, with examples. What
a family's author said stays as it was said; only what is missing is added.
"""

from collections.abc import Iterable, Iterator
from typing import Any, Final

from tallyplate.units import LENGTH_PATTERN

Schema = dict[str, Any]

PREFIX: Final = "#/components/schemas/"

LENGTH: Final = "A length with its unit."

LENGTHS: Final = ("40 mm", "1.5 in", "1 7/8 in")
"""One of each way to write a length."""

LISTED: Final = {
    "family": "The family of the plate, by its name in GET /v1/families.",
    "material": "By its name in GET /v1/materials.",
    "finish": "One of the finishes that GET /v1/materials gives the material.",
}


def component(family: str, components: dict[str, Schema]) -> str:
    """The name of the component that is a family's spec: its class's, or more where two classes have one name."""
    return next(name for name, schema in components.items() if _tag(schema) == [family])


def _tag(schema: Schema) -> object:
    return schema.get("properties", {}).get("family", {}).get("enum")


def complete(families: Iterable[str], components: dict[str, Schema]) -> None:
    """Add what is missing to the specs of families and to all that they refer to."""
    for name in reachable([component(family, components) for family in families], components):
        for field, schema in components[name].get("properties", {}).items():
            schema.setdefault("title", field.replace("_", " ").capitalize())
            if field in LISTED:
                schema.setdefault("description", LISTED[field])
        for schema in _schemas(components[name]):
            if schema.get("pattern") == LENGTH_PATTERN:
                schema.setdefault("examples", list(LENGTHS))
                said = schema.get("description", LENGTH)
                schema["description"] = said if LENGTH in said else f"{said} {LENGTH}"
            if all(isinstance(choice, str) for choice in schema.get("enum", [0])):
                schema.setdefault("type", "string")


def reachable(names: Iterable[str], components: dict[str, Schema]) -> set[str]:
    """Some components and all that they refer to."""
    wanted, found = list(names), set[str]()
    while wanted:
        one = wanted.pop()
        if one not in found:
            found.add(one)
            references = (str(schema["$ref"]) for schema in _schemas(components[one]) if "$ref" in schema)
            wanted += [reference.removeprefix(PREFIX) for reference in references]
    return found


def _schemas(part: object) -> Iterator[Schema]:
    """Every object within a schema, the schema itself among them."""
    if isinstance(part, dict):
        yield part
    for inner in part.values() if isinstance(part, dict) else part if isinstance(part, list) else ():
        yield from _schemas(inner)
