"""The sections of a file, each read by the struct that its owner declares; problems with file, line and key."""

import re
from collections.abc import Mapping
from typing import Any, Final

import msgspec
from msgspec import Struct

from tallyplate.contract import Figure, Length, Percentage, Rate, Refusal, Share, Sum
from tallyplate.decoding import Hook, convert, length_hook, shown
from tallyplate.rates.files import DataError
from tallyplate.rates.inherit import Resolved
from tallyplate.rates.lines import nearest
from tallyplate.units import UnitError

_NEGATIVE: Final = re.compile(r"[-\u2212]\s*[0-9.]")
"""How a number below nothing begins, with a hyphen or a minus sign."""


def money_hook(currency: str) -> Hook:
    """Read every figure that people write, with money in one currency."""

    def hook(kind: type, value: object) -> object:
        if type(value) is str and _NEGATIVE.match(value):
            message = f"{shown(value)} is negative; accepted: {_least(kind, currency)}"
            raise UnitError(message)
        if not issubclass(kind, Rate | Sum | Figure):
            return length_hook(kind, value)
        if type(value) is not str:
            message = f'{shown(value)} has no unit; write it as text with its unit, such as "9.40 USD/kg" or "90 m/min"'
            raise UnitError(message)
        figure = kind.read(value) if issubclass(kind, Figure) else kind.read(value, currency)
        if issubclass(kind, Share | Percentage) and not value.endswith("%"):
            _, stated, unit = value.partition(" ")
            has = f"the unit {unit}" if stated else "no unit"
            message = f'{shown(value)} has {has}; write a percentage, such as "14 %"'
            raise UnitError(message)
        return figure

    return hook


def _least(kind: type, currency: str) -> str:
    """The least that a figure may be, in its unit."""
    if kind is Length:
        return "more than 0 mm"
    if issubclass(kind, Figure) and kind.positive:
        return f"more than 0 {kind.unit}"
    unit = kind.written_unit(currency) if issubclass(kind, Rate) else getattr(kind, "unit", currency)
    return f"0 {unit or '%'} or more"


def read_sections(
    one: Resolved, head_type: type[Any], declared: Mapping[str, type[Struct] | None], hook: Hook
) -> tuple[Any, dict[str, Any]]:
    """The head and the sections of plugins; raises `DataError` with every problem of all of them."""
    head_fields = set(head_type.__struct_fields__)
    wanted = {name: struct for name, struct in sorted(declared.items()) if struct is not None}
    problems = [
        problem(
            one,
            (name,),
            f"this section is missing; it states {', '.join(_keys(struct))}; "
            f"`tallyplate plugin example {name}` prints one to start from",
        )
        for name, struct in wanted.items()
        if name not in one.data
    ]
    accepted = ", ".join(sorted(head_fields | set(wanted)))
    problems += [
        problem(one, (key,), f"unknown section; accepted: {accepted}")
        for key in one.data
        if key not in head_fields and key not in wanted
    ]
    parts = [("", head_type, {key: value for key, value in one.data.items() if key in head_fields})]
    parts += [(name, struct, one.data[name]) for name, struct in wanted.items() if name in one.data]
    made: dict[str, Any] = {}
    for name, struct, value in parts:
        try:
            made[name] = convert(value, struct, hook, f"/{name}" if name else "")
        except Refusal as refusal:
            problems += [problem(one, _path(fault.pointer), fault.message) for fault in refusal.faults]
    if problems:
        raise DataError(*problems)
    return made.pop(""), made


def problem(one: Resolved, path: tuple[str, ...], reason: str) -> str:
    """A problem as it is said: in which file and line the key stands, also where it was inherited."""
    source = one.origin(path)
    inherited = "" if source.file == one.file else f" (inherited by {one.file})"
    return f"{source.file}:{nearest(source.lines, path)}: {_dotted(path)}: {reason}{inherited}"


def _keys(struct: type[Struct]) -> tuple[str, ...]:
    return tuple(field.encode_name for field in msgspec.structs.fields(struct))


def _path(pointer: str) -> tuple[str, ...]:
    return tuple(step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:])


def _dotted(path: tuple[str, ...]) -> str:
    """A key as a TOML reader would write it."""
    return ".".join(step if step.replace("-", "").replace("_", "").isalnum() else f'"{step}"' for step in path)
