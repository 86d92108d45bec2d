"""From plain data (JSON, TOML) to typed values, with every bad field named.

The quick way is msgspec's own. It stops at the first fault, so that data it refuses are walked again here, slowly, for
a message at each fault: what was found, and what would be accepted.
"""

from collections.abc import Callable, Iterator
from types import UnionType
from typing import Annotated, Any, Final, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

import msgspec
from msgspec import UnsetType

from tallyplate.contract.refusals import Fault, Refusal
from tallyplate.units import Length, UnitError, length

Hook = Callable[[type, Any], Any]

Made = TypeVar("Made")

MISSING: Final = "is required and missing"
"""What is said of a field that must be given."""

PATTERNS: Final = {"'^[ -~]+$'": "letters, digits and signs of ASCII"}
"""Patterns of texts, in words."""

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
    """A value for a message, cut short: texts, figures and dates as Python has them, all else as JSON has it."""
    as_json = value is None or isinstance(value, (bool, dict, list))
    text = msgspec.json.encode(value).decode() if as_json else repr(value)
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
        for key, item in value.items():
            yield from faults(item, get_args(kind)[1], hook, f"{pointer}/{escaped(key)}")


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
        found = f"{shown(tag)} is not accepted" if name in value else MISSING
        yield Fault(f"{pointer}/{name}", f"{found}; accepted: {', '.join(variants)}")


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
                yield Fault(f"{pointer}/{key}", f"{shown(item)} is not accepted; accepted: {config.tag}")
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
    if get_origin(kind) is Literal:
        accepted = ", ".join(str(choice) for choice in get_args(kind))
        return f"{shown(value)} is not accepted; accepted: {accepted}"
    message = _bare(message)
    for pattern, accepted in PATTERNS.items():
        if pattern in message:
            return f"{shown(value)} is not accepted; accepted: {accepted}"
    return message if message.startswith(("'", '"', shown(value))) else f"{message}; found {shown(value)}"


def _bare(message: str) -> str:
    """Msgspec's message without the place, which the pointer gives."""
    return message.partition(" - at `")[0]


def escaped(key: object) -> str:
    """A key as one step of a JSON Pointer (RFC 6901)."""
    return str(key).replace("~", "~0").replace("/", "~1")
