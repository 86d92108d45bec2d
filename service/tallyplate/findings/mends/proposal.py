"""What a check proposes: changes worked out from the build, in mm where they are lengths, to be tried in order.

A proposal may name fields that a family has not got and values that it refuses: trying tells.
"""

from collections.abc import Callable, Iterator

from msgspec import Struct

from tallyplate.contract import Build
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


def settled(build: Build) -> frozenset[str]:
    """The fields that say what a plate that exists is, its material and its sizes: nobody can choose those."""
    named = ("material", *build.body.named) if build.blank.existing else ()
    return frozenset(f"/plate/{name}" for name in named)


def of_choices(proposing: Proposing) -> Proposing:
    """The proposals without those that would make of a plate that exists another one."""

    def proposed(case: Case, finding: Finding) -> Iterator[Proposal]:
        as_it_is = settled(case.build)
        return (one for one in proposing(case, finding) if as_it_is.isdisjoint(pointer for pointer, _ in one.changes))

    return proposed
