"""From statements to answers: what the family is, what contradicts, and what the service would refuse."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import islice
from typing import Any, Final

import msgspec
from msgspec.structs import replace

from tallyplate.contract import Family
from tallyplate.decoding import faults, length_hook
from tallyplate.inquiry import Envelope, inquiry_hook
from tallyplate.pointers import applied, steps
from tallyplate.reading.items import Measure
from tallyplate.reading.statements import Statement
from tallyplate.units import UnitError, length

MOST_SHOWN: Final = 8
"""Values that contradict each other of which a statement names at most so many."""

FAMILY: Final = "/plate/family"
MISSING: Final = "is required and missing"


def family(statements: Iterable[Statement], families: Mapping[str, Family]) -> Statement | None:
    """The family that the sizes which were said leave: the only one that has all of them, where it is only one.

    One whose plates exist already is not looked at, since nobody means it who does not name it.
    """
    families = {name: one for name, one in families.items() if not one.existing}
    sizes = {steps(one.pointer)[1] for one in statements if one.pointer.startswith("/plate/") and one.pointer != FAMILY}
    every = [set(_fields(one)) for one in families.values()]
    common = set.intersection(*every) if every else set()
    telling = sorted(sizes & set().union(*every) - common)
    having = [name for name, one in families.items() if set(telling) <= set(_fields(one))]
    if len(having) != 1:
        return None
    # A family is known by all the sizes that a plate of it must have and that not every family has.
    needed = sorted(_required(families[having[0]]) - common)
    if not needed or not set(needed) <= sizes:
        return None
    first = next(one for one in statements if one.pointer == f"/plate/{needed[0]}")
    because = f"the only family on offer with {' and '.join(one.replace('_', ' ') for one in needed)}"
    return Statement(FAMILY, having[0], first.start, first.end, because=because)


def _fields(one: Family) -> list[str]:
    return [field.encode_name for field in msgspec.structs.fields(one.spec)]


def _required(one: Family) -> set[str]:
    return {field.encode_name for field in msgspec.structs.fields(one.spec) if field.required}


def agreed(statements: Sequence[Statement]) -> list[Statement]:
    """Statements of which none that is certain contradicts another; those that do are left open, each with all.

    One that is not clear is settled by a certain one that is among its choices, and contradicts any other.
    """
    said: dict[str, dict[Any, Statement]] = defaultdict(dict)
    for one in statements:
        if not one.why:
            said[one.pointer].setdefault(same(one.value), one)
    kept = [one for one in statements if not (one.rival and _among(one, said[one.pointer].values()))]
    against = {one.pointer for one in kept if one.rival}
    against |= {pointer for pointer, values in said.items() if len(values) > 1}
    return [_against(one, said[one.pointer].values()) if one.pointer in against else one for one in kept]


def _among(one: Statement, certain: Iterable[Statement]) -> bool:
    values = [other.value for other in islice(certain, 2)]
    return len(values) == 1 and values[0] in one.choices


def _against(one: Statement, certain: Iterable[Statement]) -> Statement:
    if one.why:
        return one
    choices = tuple(shown(other.value) for other in islice(certain, MOST_SHOWN))
    return replace(one, why="something else is said elsewhere in the note", choices=choices)


def same(value: object) -> object:
    """What is equal for values that are the same."""
    if isinstance(value, Measure):
        try:
            return Fraction(length(value.text))
        except UnitError:
            return value.text
    return frozenset(value) if isinstance(value, tuple) else value


def shown(value: object) -> Any:  # noqa: ANN401 - it is JSON
    """A value as it stands in a request."""
    return value.text if isinstance(value, Measure) else value


def accepted(statements: Sequence[Statement], families: Mapping[str, Family], *, there: bool) -> list[Statement]:
    """Statements without those that the service would refuse, which are left open with its own words.

    `there` says that the note may be of a plate that is there already.
    """
    certain = {one.pointer: shown(one.value) for one in statements if not one.why}
    wrong = dict(refused(certain, families))
    for pointer, reason in _together(certain, there=there):
        wrong.setdefault(pointer, reason)
    return [_refused(one, wrong) for one in statements]


def _refused(one: Statement, wrong: Mapping[str, str]) -> Statement:
    reason = next((said for pointer, said in wrong.items() if (one.pointer + "/").startswith(pointer + "/")), "")
    # Which fields there are instead is no help to who wrote the note.
    said = reason.partition("; accepted here")[0]
    return replace(one, why=f"would not be accepted: {said}") if reason and not one.why else one


def refused(certain: Mapping[str, Any], families: Mapping[str, Family]) -> Iterator[tuple[str, str]]:
    """The faults of a request made of values by pointer, except that something is missing."""
    request = applied({"plate": {}}, certain)
    for fault in faults(request, Envelope, inquiry_hook, ""):
        yield fault.pointer, fault.message
    named = request["plate"].get("family")
    if named is not None and named not in families:
        yield FAMILY, f"{named} is not on offer"
        return
    each = [_plate_faults(request["plate"], name, one) for name, one in families.items() if named in {None, name}]
    yield from min(each, key=len, default=[])


def _plate_faults(plate: Mapping[str, Any], name: str, one: Family) -> list[tuple[str, str]]:
    found = faults({**plate, "family": name}, one.spec, length_hook, "/plate")
    return [(fault.pointer, fault.message) for fault in found if fault.message != MISSING]


def _together(certain: Mapping[str, Any], *, there: bool) -> Iterator[tuple[str, str]]:
    """What no plate can have together, and a screw that may be that of single holes in a plate that is there."""
    if there and "/plate/pattern/pitch" not in certain:
        yield "/plate/pattern/screw", "whether a pattern or single holes are to be added is not said"
    if certain.get("/plate/pattern/arrangement") == "separate":
        yield "/plate/pattern/pitch", "separate lattices have a pitch each; of which this is the pitch is not said"
