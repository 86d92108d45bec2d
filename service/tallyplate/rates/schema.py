"""The JSON Schema of a card or of shop data, from what the installed plugins declare, for editors to complete from.

A file that inherits states what it changes, so that the schema asks for a key only where nothing is inherited. What a
unit measures is beyond a schema: it holds each figure to the form of a number with a unit, and loading does the rest.
"""

from inspect import cleandoc
from typing import Any, Final

import msgspec
from msgspec import Struct

from tallyplate.contract import Figure, Length, Percentage, Rate, Sum
from tallyplate.rates.files import END
from tallyplate.rates.inherit import INHERITS
from tallyplate.units import LENGTH_PATTERN

Json = dict[str, Any]

DRAFT: Final = "http://json-schema.org/draft-07/schema#"
"""The newest draft that editors of TOML files know well."""

_NUMBER: Final = r"[0-9]{1,12}(\.[0-9]{1,12})?"
_UNIT: Final = r"[A-Za-z%][A-Za-z0-9%/*^]*"

_EXAMPLES: Final = {
    "": "15 %",
    "1/K": "23.6 um/m/K",
    "N/mm**2": "69 GPa",
    "day": "3 day",
    "deg": "118 deg",
    "h/day": "7 h/day",
    "kg/mm**3": "2700 kg/m3",
    "mm**2/s": "110 cm^2/min",
    "mm**3/s": "600 cm^3/min",
    "mm/s": "90 m/min",
    "rev/s": "10000 rev/min",
}
"""How people write figures that are worked with in another unit."""

_HEAD: Final[dict[str, Json]] = {
    "id": {"description": "A name of this file's own, by which others inherit from it."},
    "effective_from": {"description": "The first day in force, such as 2026-01-01."},
    "currency": {"description": 'ISO 4217 code of all money here, such as "USD".', "pattern": "^[A-Z]{3}$"},
    "time_zone": {"description": 'IANA time zone of the dates, such as "America/Chicago".'},
    "rounding": {"description": "What becomes of half a minor unit, such as half a cent."},
}


def json_schema(kind: type[Struct], title: str) -> Json:
    """The schema of files that state a composed type, or inherit some of it."""
    made = msgspec.json.schema(kind, schema_hook=_written)
    whole: Json = _inlined(made, made["$defs"], ())
    for name, said in _HEAD.items():
        whole["properties"].get(name, {}).update(said)
    part = _part(whole)
    ident = whole["properties"]["id"]["pattern"]
    says = f"The id of the file that states all else. A file that inherits ends with the line {END!r}."
    inherits = {"type": "string", "pattern": ident, "description": says}
    return {
        "$schema": DRAFT,
        "title": title,
        "description": "Each figure is text with its unit.",
        **part,
        "properties": {INHERITS: inherits} | part["properties"],
        "if": {"required": [INHERITS]},
        "then": {"required": ["id", "effective_from"]},
        "else": _required(whole),
    }


def _written(kind: type) -> Json:
    """How a figure is written: its pattern, and a description that names its unit."""
    if issubclass(kind, Length):
        says = 'a length, such as "600 mm" or "1 7/8 in"'
        return {"type": "string", "pattern": LENGTH_PATTERN, "description": says}
    if issubclass(kind, Rate | Sum):
        unit = kind.written_unit("USD") if issubclass(kind, Rate) else "USD"
        per = unit.partition("/")[2]
        if not unit:
            return _text("a share", "12 %", " %")
        return _text(
            f"money per {per}" if per else "money", f"9.40 {unit}", rf" [A-Z]{{3}}{f'/{_UNIT}' if per else ''}"
        )
    if issubclass(kind, Percentage):
        return _text("a percentage", "15 %", " %")
    if issubclass(kind, Figure):
        unit = kind.unit.replace("**", "^")
        says = f"a figure in {unit}" if unit else "a plain ratio"
        return _text(says, _EXAMPLES.get(kind.unit, f"1.5 {unit}"), rf" {_UNIT}" if unit else rf"( {_UNIT})?")
    raise NotImplementedError(kind)


def _text(says: str, example: str, unit_pattern: str) -> Json:
    return {"type": "string", "pattern": f"^{_NUMBER}{unit_pattern}$", "description": f'{says}, such as "{example}"'}


def _inlined(node: Any, definitions: Json, within: tuple[str, ...]) -> Any:  # noqa: ANN401 - any JSON
    """A schema with each definition in its place; one that holds itself is left open there."""
    if isinstance(node, list):
        return [_inlined(item, definitions, within) for item in node]
    if not isinstance(node, dict):
        # Python's anchors of a whole text are not those of JSON Schema; docstrings are indented.
        return cleandoc(node.replace(r"\A", "^").replace(r"\Z", "$")) if isinstance(node, str) else node
    if "$ref" in node:
        name = node["$ref"].rpartition("/")[2]
        return {} if name in within else _inlined(definitions[name], definitions, (*within, name))
    # A title is the name of a class; but a key of a card may be named `title` too, and has a schema for a value.
    kept = {
        key: value for key, value in node.items() if key != "$defs" and not (key == "title" and isinstance(value, str))
    }
    return {key: _inlined(value, definitions, within) for key, value in kept.items()}


def _part(node: Json) -> Json:
    """A schema that asks for no key, save within lists: a list that is stated replaces the inherited one whole."""
    made = {key: value for key, value in node.items() if key != "required"}
    if "properties" in node:
        made["properties"] = {name: _part(inner) for name, inner in node["properties"].items()}
    if isinstance(values := node.get("additionalProperties"), dict):
        made["additionalProperties"] = _part(values)
    return made


def _required(node: Json) -> Json:
    """What a schema asks for, level by level, and nothing else."""
    made: Json = {"required": node["required"]} if node.get("required") else {}
    properties = {name: asked for name, inner in node.get("properties", {}).items() if (asked := _required(inner))}
    if properties:
        made["properties"] = properties
    if isinstance(values := node.get("additionalProperties"), dict) and (asked := _required(values)):
        made["additionalProperties"] = asked
    return made
