"""ASCII DXF as pairs of a group code and its value, strictly: a line with a whole number, then one with the value."""

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from tallyplate.contract import refuse

POINTER: Final = "/dxf"
MOST_LINES: Final = 200_000
"""Lines of a file; a mebibyte holds no more of them that are filled."""

_END: Final = re.compile(r"\r\n|\r|\n")
_CODE: Final = re.compile(r" {0,5}(-?[0-9]{1,4})\Z")
_NUMBER: Final = re.compile(r" *[-+]?(?:[0-9]{1,20}(?:\.[0-9]{0,20})?|\.[0-9]{1,20})(?:[eE][-+]?[0-9]{1,2})? *\Z")


class Tag(NamedTuple):
    """A group code and its value as text."""

    code: int
    value: str


def tags(text: str) -> Iterator[Tag]:
    """Every pair of a file; refuses what is not ASCII DXF, naming the line."""
    lines = _END.split(text)
    if len(lines) > MOST_LINES:
        raise refuse(POINTER, f"has {len(lines)} lines; accepted: at most {MOST_LINES}")
    for number in range(0, len(lines) - 1, 2):
        match = _CODE.match(lines[number])
        if match is None:
            message = f"line {number + 1} is {lines[number][:40]!r}, no group code; accepted: DXF as text (ASCII)"
            raise refuse(POINTER, message)
        yield Tag(int(match[1]), lines[number + 1].strip())


def number(tag: Tag, what: str) -> float:
    """A value as a number; refuses another."""
    if not _NUMBER.match(tag.value):
        raise refuse(POINTER, f"{what} has {tag.value[:40]!r} for group {tag.code}; accepted: a number")
    return float(tag.value)


def whole(tag: Tag, what: str) -> int:
    """A value as a whole number; refuses another."""
    found = number(tag, what)
    if found != int(found):
        raise refuse(POINTER, f"{what} has {tag.value[:40]!r} for group {tag.code}; accepted: a whole number")
    return int(found)
