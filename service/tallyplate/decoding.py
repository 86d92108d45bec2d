"""From plain data (JSON, TOML) to typed values, with every bad field named.

The quick way is msgspec's own. It stops at the first fault, so that data it refuses are walked again here, slowly, for
a message at each fault: what was found, and what would be accepted.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from enum import Enum
from math import isnan
from types import UnionType
from typing import Annotated, Any, Final, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

import msgspec
from msgspec import UnsetType

from tallyplate.contract.refusals import Fault, Refusal
from tallyplate.units import Length, UnitError, counted, length

Hook = Callable[[type, Any], Any]

Made = TypeVar("Made")

MISSING: Final = "is required and missing"
"""What is said of a field that must be given."""

PATTERNS: Final = {
    "^[ -~]+$": "letters, digits and signs of ASCII",
    "^[A-Z]{2}$": "two capital letters, such as US",
    "^[0-9a-f]{64}$": "64 hexadecimal digits in lower case",
    r"\A[0-9a-f]{64}\Z": "64 hexadecimal digits in lower case",
    r"\A[A-Za-z0-9_-]{43}\Z": "43 letters, digits, hyphens and underscores (base64url)",
    r"\A[a-z0-9][a-z0-9._-]{0,62}\Z": "up to 63 lower-case letters, digits, dots, hyphens and underscores",
    r"\A[A-Za-z0-9][A-Za-z0-9._-]{0,63}\Z": "up to 64 letters, digits, dots, hyphens and underscores",
    "^[A-Za-z0-9][A-Za-z0-9._-]*$": "letters, digits, dots, hyphens and underscores, a letter or digit first",
    "^Q-[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}$": "a number such as Q-7K2M-9PXD-4TWA",
}
"""Patterns of texts, in words."""

A_DATE: Final = "a date such as 2026-03-02"

KINDS: Final = {
    "str": "text",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
    "date": A_DATE,
    "array": "a list",
    "object": "an object",
}
"""What msgspec expects, in words."""

NATURES: Final = {str: "text", int: "a number", float: "a number", date: "a date", list: "a list", dict: "an object"}
"""What a value is; of those that are not listed, the value says it itself."""

PARTS: Final = {"str": "character", "array": "item", "object": "key"}
BOUNDS: Final = {">=": "at least", "<=": "at most", ">": "more than", "<": "less than"}

SHOWN = 80
"""Characters of a stranger's text that a message repeats."""


def length_hook(kind: type, value: object) -> object:
    """Read the types that callers write: a `Length` from text."""
    if kind is Length:
        if type(value) is not str:
            what = "has no unit" if type(value) in {int, float} else "is no length"
            message = f'{shown(value)} {what}; write a length as text with its unit, such as "600 mm" or "5/8 in"'
            raise UnitError(message)
        return length(value)
    message = f"no reading of {kind}"
    raise NotImplementedError(message)


def shown(value: object) -> str:
    """A value for a message, cut short: texts and figures as Python has them, dates as written, all else as in JSON."""
    as_json = value is None or isinstance(value, (bool, dict, list))
    text = msgspec.json.encode(value).decode() if as_json else str(value) if isinstance(value, date) else repr(value)
    return text if len(text) <= SHOWN else f"{text[:SHOWN]}..."


def convert(value: object, kind: type[Made], hook: Hook, pointer: str = "") -> Made:
    """The typed value, or a `Refusal` with every fault."""
    try:
        return msgspec.convert(value, kind, dec_hook=hook)
    except msgspec.ValidationError as error:
        raise Refusal(*(list(faults(value, kind, hook, pointer)) or [Fault(pointer, _bare(str(error)))])) from None


def faults(value: object, kind: Any, hook: Hook, pointer: str) -> Iterator[Fault]:
    """Every fault of a value against a type, deepest first; the whole's own only where no part is at fault."""
    inner = _core(kind)
    found = list(_faults_within(value, inner, hook, pointer))
    yield from found
    if not found:
        try:
            msgspec.convert(value, kind, dec_hook=hook)
        except msgspec.ValidationError as error:
            yield Fault(pointer, _explained(value, inner, str(error)))


def _faults_within(value: object, kind: Any, hook: Hook, pointer: str) -> Iterator[Fault]:
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct) and isinstance(value, dict):
        yield from _struct_faults(value, kind, hook, pointer)
    elif isinstance(value, dict) and (variants := _variants(kind)):
        yield from _variant_faults(value, variants, hook, pointer)
    elif get_origin(kind) is tuple and isinstance(value, list):
        for index, item in enumerate(value):
            yield from faults(item, get_args(kind)[0], hook, f"{pointer}/{index}")
    elif get_origin(kind) is dict and isinstance(value, dict):
        of_keys, of_items = get_args(kind)
        for key, item in value.items():
            place = f"{pointer}/{escaped(key)}"
            yield from faults(key, of_keys, hook, place)
            yield from faults(item, of_items, hook, place)


def _variants(kind: Any) -> dict[str, type[msgspec.Struct]]:
    """The structs of a union by their tags; nothing where a type is no such union."""
    parts = get_args(kind) if get_origin(kind) in {Union, UnionType} else ()
    structs = [part for part in parts if isinstance(part, type) and issubclass(part, msgspec.Struct)]
    return {str(part.__struct_config__.tag): part for part in structs if part.__struct_config__.tag is not None}


def _variant_faults(
    value: dict[str, Any], variants: dict[str, type[msgspec.Struct]], hook: Hook, pointer: str
) -> Iterator[Fault]:
    """The faults of the struct that a value says it is, or that it says of none."""
    name = str(next(iter(variants.values())).__struct_config__.tag_field)
    tag = value.get(name)
    if isinstance(tag, str) and tag in variants:
        yield from _struct_faults(value, variants[tag], hook, pointer)
    else:
        missing = f"{MISSING}; accepted: {', '.join(variants)}"
        yield Fault(f"{pointer}/{name}", _not_one_of(tag, variants) if name in value else missing)


def _struct_faults(value: dict[str, Any], kind: type[msgspec.Struct], hook: Hook, pointer: str) -> Iterator[Fault]:
    config = kind.__struct_config__
    hints = get_type_hints(kind, include_extras=True)
    fields = {field.encode_name: field for field in msgspec.structs.fields(kind)}
    tags = {config.tag_field} if config.tag_field else set()
    accepted = ", ".join(sorted({*fields, *tags}))
    for key, item in value.items():
        if key in fields:
            yield from faults(item, hints[fields[key].name], hook, f"{pointer}/{escaped(key)}")
        elif key in tags:
            if item != config.tag:
                yield Fault(f"{pointer}/{key}", _not_one_of(item, [config.tag]))
        elif config.forbid_unknown_fields:
            yield Fault(f"{pointer}/{escaped(key[:SHOWN])}", f"unknown field; accepted here: {accepted}")
    for name, field in fields.items():
        if field.required and name not in value:
            yield Fault(f"{pointer}/{escaped(name)}", MISSING)


def _core(kind: Any) -> Any:
    """A type without its annotations and without the possibility of being left out."""
    while get_origin(kind) is Annotated:
        kind = get_args(kind)[0]
    if get_origin(kind) in {Union, UnionType}:
        present = [part for part in get_args(kind) if part not in {UnsetType, type(None)}]
        if len(present) == 1:
            return _core(present[0])
    return kind


def _explained(value: object, kind: Any, message: str) -> str:
    """What stands there and what is accepted; in msgspec's words where there are no plainer ones."""
    if choices := _choices(kind):
        return _not_one_of(value, choices)
    message = _bare(message)
    for pattern, explain in EXPLANATIONS.items():
        if match := pattern.fullmatch(message):
            return explain(value, *match.groups())
    return message if message.startswith(("'", '"', shown(value))) else f"{message}; found {shown(value)}"


def _choices(kind: Any) -> tuple[Any, ...]:
    """The values of a type that lists them."""
    if isinstance(kind, type) and issubclass(kind, Enum):
        return tuple(one.value for one in kind)
    return get_args(kind) if get_origin(kind) is Literal else ()


def _not_one_of(value: object, choices: Iterable[Any]) -> str:
    choices = tuple(choices)
    if type(value) in {int, float} and all(type(choice) is str for choice in choices):
        return f"{shown(value)} is a number; accepted, as text: {', '.join(map(repr, choices))}"
    return f"{shown(value)} is not accepted; accepted: {', '.join(map(str, choices))}"


def _no_such_kind(value: object, kinds: str) -> str:
    nature = NATURES.get(type(value))
    accepted = " or ".join(KINDS.get(kind, kind) for kind in kinds.split(" | "))
    return f"{shown(value)} is {nature or 'not accepted'}; accepted: {accepted}"


def _no_such_length(value: Any, kind: str, sign: str, bound: str) -> str:
    return f"{shown(value)} has {counted(len(value), PARTS[kind])}; accepted: {BOUNDS[sign]} {bound}"


def _out_of_bounds(value: Any, sign: str, bound: str) -> str:
    beyond = "too small" if sign.startswith(">") else "too large"
    if isinstance(value, float) and isnan(value):
        beyond = "no number"
    return f"{shown(value)} is {beyond}; accepted: {BOUNDS[sign]} {bound}"


def _no_date(value: object) -> str:
    return f"{shown(value)} is no date; accepted: {A_DATE}"


def _no_such_text(value: object, quoted: str) -> str:
    words = {repr(pattern): words for pattern, words in PATTERNS.items()}.get(quoted, f"text that matches {quoted}")
    return f"{shown(value)} is not accepted; accepted: {words}"


EXPLANATIONS: Final[dict[re.Pattern[str], Callable[..., str]]] = {
    re.compile(r"Expected `([^`]+)`, got `[^`]+`"): _no_such_kind,
    re.compile(r"Expected `(str|array|object)` of length (>=|<=) ([0-9]+)"): _no_such_length,
    re.compile(r"Expected `(?:int|float)` (>=|<=|>|<) (\S+)"): _out_of_bounds,
    re.compile(r"Expected `str` matching regex (.+)"): _no_such_text,
    re.compile(r"Invalid RFC3339 encoded date"): _no_date,
}
"""Messages of msgspec, and what says the same of a value in plain words."""


def _bare(message: str) -> str:
    """Msgspec's message without the place, which the pointer gives."""
    return message.partition(" - at `")[0]


def escaped(key: object) -> str:
    """A key as one step of a JSON Pointer (RFC 6901)."""
    return str(key).replace("~", "~0").replace("/", "~1")
