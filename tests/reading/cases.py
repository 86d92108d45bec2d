"""The notes that are kept as cases, and how far a reading of one is right."""

import tomllib
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Final

import msgspec
from msgspec import Struct

from tallyplate.reading.note import read
from tallyplate.reading.offer import Offer
from tallyplate.reading.statements import Reading
from tests.plates import installation

NOTES: Final = Path(__file__).parent / "notes"


class Note(Struct, frozen=True, forbid_unknown_fields=True):
    """A note, what is certain in it, and what must be left open or handed back."""

    file: str
    what: str
    text: str
    request: dict[str, Any]
    as_of: str = ""
    unclear: tuple[str, ...] = ()
    not_understood: tuple[str, ...] = ()


@cache
def notes() -> tuple[Note, ...]:
    return tuple(
        msgspec.convert({"file": path.stem, **entry}, Note)
        for path in sorted(NOTES.glob("*.toml"))
        for entry in tomllib.loads(path.read_text(encoding="utf-8"))["note"]
    )


def offer(as_of: str = "") -> Offer:
    here = installation()
    written = date.fromisoformat(as_of) if as_of else None
    return Offer(here.families, here.shops[-1], here.cards[-1].currency, written)


def reading(note: Note) -> Reading:
    return read(note.text, offer(note.as_of))


def flat(request: Any, pointer: str = "") -> dict[str, Any]:
    """The values of a request by pointer; a list is one value."""
    if not isinstance(request, dict):
        return {pointer: list(request) if isinstance(request, tuple) else request}
    return {at: value for key, inner in request.items() for at, value in flat(inner, f"{pointer}/{key}").items()}


class Score(Struct, frozen=True):
    """Fields of one reading: right, wrong (filled otherwise than expected) and missed (expected, not filled)."""

    right: int
    wrong: tuple[str, ...]
    missed: tuple[str, ...]


def score(note: Note) -> Score:
    expected, found = flat(note.request), flat(reading(note).request)
    return Score(
        sum(found.get(pointer) == value for pointer, value in expected.items()),
        tuple(f"{pointer} {value!r}" for pointer, value in found.items() if expected.get(pointer) != value),
        tuple(pointer for pointer in expected if pointer not in found),
    )
