"""How anything says no: a value with a place and a helpful sentence, and a stable code for the kind of refusal."""

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from msgspec import Struct

First = TypeVar("First")
Second = TypeVar("Second")
Made = TypeVar("Made")


class Fault(Struct, frozen=True):
    """One bad field: where (RFC 6901 JSON Pointer into the request) and what is wrong, found and accepted."""

    pointer: str
    message: str


class Refusal(Exception):  # noqa: N818 - it refuses a request; nothing has gone wrong here
    """A request that cannot be priced as it stands. `code` is stable; `faults` name every bad field."""

    code = "invalid-request"

    def __init__(self, *faults: Fault) -> None:
        super().__init__("; ".join(f"{fault.pointer or '/'}: {fault.message}" for fault in faults))
        self.faults = faults


class UnknownVersion(Refusal):
    """A pinned or dated card or shop file that is not here."""

    code = "version-unavailable"


def refuse(pointer: str, message: str) -> Refusal:
    """A refusal for one field, to be raised."""
    return Refusal(Fault(pointer, message))


def together(first: Callable[[], First], second: Callable[[], Second]) -> tuple[First, Second]:
    """The results of both, or one refusal with the faults of both, so that nothing is learned one fault at a time."""
    results: list[Any] = each((first, second))
    return results[0], results[1]


def each(makes: Iterable[Callable[[], Made]]) -> list[Made]:
    """The results of all, or one refusal with the faults of all."""
    faults: list[Fault] = []
    results: list[Made] = []
    for make in makes:
        try:
            results.append(make())
        except Refusal as refusal:
            faults += refusal.faults
    if faults:
        raise Refusal(*faults)
    return results


def one_of(pointer: str, found: str, accepted: Iterable[str]) -> Refusal:
    """The refusal for a name that is not among those on offer."""
    return refuse(pointer, f"{found[:80]!r} is not on offer; accepted: {', '.join(sorted(accepted))}")
