"""What the sizes with an x between them are: length by width by thickness, or what their own words say."""

from collections.abc import Iterator, Sequence

from tallyplate.reading.items import Factor, Item, Measure
from tallyplate.reading.statements import Statement

FLAT = ("/plate/length", "/plate/width", "/plate/thickness")
ROUND = ("/plate/diameter", "/plate/thickness")

TRAILING = "the unit behind a later one of the sizes is that of those before it"
ORDER = "the second is the longer: which of them is the length, along the machine's slots, is not said"
THIRD = "the third is too large for the thickness of a plate of the others, or its unit is another"
THIN = 3
"""Times that a thickness must go into the other sizes to be taken for one."""
SLIM = 10
"""Times that a width may go into the length; one that goes oftener may be a thickness."""


def stated(one: Item, family: str | None, why: str) -> Iterator[Statement]:
    """The statements of a size item for a plate of a family, as far as that is known; `why` is a doubt about it."""
    factors: tuple[Factor, ...] = one.value
    if any(factor.role for factor in factors):
        yield from _called(factors, why)
        return
    places = ROUND if family == "round" and len(factors) == len(ROUND) else FLAT
    why = why or _wrong(factors, family)
    measures = _with_units([factor.measure for factor in factors])
    for place, measure, factor in zip(places, measures, factors, strict=False):
        said = TRAILING if measure.unit != factor.measure.unit else ""
        choices = factor.measure.number.readings
        doubtful = why or factor.measure.number.doubtful
        yield Statement(place, measure, one.start, one.end, doubtful, choices, said)


def _called(factors: Sequence[Factor], why: str) -> Iterator[Statement]:
    """Sizes of which some say what they are; those that do not are the ones that are left, in order."""
    roles = _roles(factors)
    left = [float(one.measure.number.amount) for one in factors if not one.role]
    untold = ORDER if len(left) == 2 and left[1] > left[0] else ""  # noqa: PLR2004 - a length and a width
    for role, measure, factor in zip(roles, _with_units([one.measure for one in factors]), factors, strict=True):
        number = measure.number
        if role:
            lent = "" if measure.unit == factor.measure.unit else TRAILING
            doubtful = why or number.doubtful or ("" if factor.role else untold)
            yield Statement(f"/plate/{role}", measure, factor.start, factor.end, doubtful, number.readings, lent)
        else:
            yield Statement("", None, factor.start, factor.end, why or "what size it is cannot be told")


def _roles(factors: Sequence[Factor]) -> list[str]:
    """What each of some sizes is; nothing where it cannot be told, and for all of them where one is said twice."""
    said = [one.role for one in factors if one.role]
    if len(set(said)) < len(said):
        return [""] * len(factors)
    whole = ("diameter", "thickness") if "diameter" in said else ("length", "width", "thickness")
    # Beside a width alone, the other of two sizes may be a length or a thickness.
    told = len(factors) == len(whole) or said == ["length"]
    left = iter([name for name in whole if name not in said] if told else [])
    return [one.role or next(left, "") for one in factors]


def _with_units(measures: Sequence[Measure]) -> list[Measure]:
    """Sizes without a unit, with that of the next one that has it."""
    made: list[Measure] = []
    unit = None
    for one in measures[::-1]:
        unit = one.unit or unit
        bare = Measure(one.number, unit, unit is None and measures[-1].perhaps_inches)
        made.insert(0, one if one.unit else bare)
    return made


def _wrong(factors: Sequence[Factor], family: str | None) -> str:
    """Why sizes without words cannot be told apart."""
    if family == "tombstone":
        return "which of a block's sizes these are is not said"
    amounts = [float(factor.measure.number.amount) for factor in factors]
    units = {factor.measure.unit for factor in factors} - {None}
    two = len(amounts) == len(ROUND)
    reasons = {
        "a disc has no such sizes": family == "round" and not (two and amounts[1] < amounts[0]),
        ORDER: family != "round" and len(units) < 2 and amounts[1] > amounts[0],  # noqa: PLR2004 - in one unit
        THIRD: not two and len(units) < 2 and amounts[-1] * THIN > min(amounts[:2]),  # noqa: PLR2004
        "the second may be a thickness": family != "round" and two and amounts[1] * SLIM < amounts[0],
    }
    return next((reason for reason, holds in reasons.items() if holds), "")
