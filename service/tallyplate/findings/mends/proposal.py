"""What a check proposes: changes worked out from the build, in mm where they are lengths, to be tried in order.

A proposal may name fields that a family has not got and values that it refuses: trying tells.
"""

from collections.abc import Callable, Iterator

from msgspec import Struct

from tallyplate.findings.finding import Case, Finding, Value


class AtLeast(Struct, frozen=True, gc=False):
    """A length in mm to be written rounded up."""

    mm: float


class AtMost(Struct, frozen=True, gc=False):
    """A length in mm to be written rounded down."""

    mm: float


Wanted = AtLeast | AtMost | Value


class Proposal(Struct, frozen=True, gc=False):
    """Changes by JSON Pointer, and a sentence in which {0}, {1} and so on stand for their values as written."""

    words: str
    changes: tuple[tuple[str, Wanted], ...]


Proposing = Callable[[Case, Finding], Iterator[Proposal]]
"""What might mend a finding of a case, the likeliest first."""


def one(words: str, pointer: str, value: Wanted) -> Proposal:
    """A proposal that sets one field."""
    return Proposal(words, ((pointer, value),))
