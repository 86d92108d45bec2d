"""A plate too large for the machine or the stock, split into sections of a set whose lattice runs on over the joints.

Joints lie half a pitch from the holes on either side, so that the pitch is kept across them. Every section is a plate
of its own, held and located by itself; where holes take turns, each section but the last has an even number of rows or
columns, so that they go on taking turns.
"""

from collections.abc import Mapping, Sequence
from math import floor
from typing import Annotated, Any, Final, Literal

from msgspec import Meta, Struct

from tallyplate.contract import Family, Fault, Refusal, refuse
from tallyplate.decoding import convert, length_hook
from tallyplate.findings import Finding
from tallyplate.inquiry import read
from tallyplate.lattice import fitting
from tallyplate.sets.inquiry import Name
from tallyplate.sets.joints import Edge, caution
from tallyplate.units import decimal_text

MOST_SECTIONS: Final = 10
"""Sections of one plate: beyond so many, joints leave little of what a plate is for (common practice, no source)."""

PLATE_FIELDS: Final = frozenset(
    {
        "family", "length", "width", "thickness", "material", "finish", "position_tolerance", "flatness", "pattern",
        "mounting", "marking", "lifting_holes", "lifting_screw", "lifting_eyes", "handles",
    }
)  # fmt: skip
"""What a plate may say that is split. What stands at a place of the whole plate, such as a pocket, is in none of it."""

PATTERN_FIELDS: Final = frozenset({"arrangement", "pitch", "screw", "margin", "bushings", "thread_inserts"})

EDGES: Final[dict[str, tuple[Edge, Edge]]] = {"length": ("left", "right"), "width": ("bottom", "top")}
"""The edges at which a section is joined to the one before and to the one after."""


class SplitRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A rectangular plate, and how it is to be split."""

    plate: dict[str, Any]
    along: Annotated[Literal["length", "width"], Meta(title="Split along", description="The side that is divided.")]
    sections: Annotated[int, Meta(title="Sections", ge=2, le=MOST_SECTIONS)]
    name: Name = "plate"


class SectionOffer(Struct, frozen=True):
    """One section, as a plate of a set."""

    name: str
    plate: dict[str, Any]
    joined: tuple[Edge, ...]


class SplitAnswer(Struct, frozen=True):
    """The sections in their order, to be put into a set as they are, and what to know of a plate that is joined."""

    plates: tuple[SectionOffer, ...]
    findings: tuple[Finding, ...]


class Grid(Struct, frozen=True):
    """A lattice along one side of a plate, in mm."""

    side: float
    pitch: float
    margin: float

    @property
    def count(self) -> int:
        """Holes that fit, from the margin on."""
        return fitting(self.side - 2 * self.margin, self.pitch)


def split(request: object, families: Mapping[str, Family]) -> SplitAnswer:
    """The sections of a plate given as plain data; refuses, with every fault, a plate that cannot be split so."""
    asked = convert(request, SplitRequest, length_hook)
    spec: Any = read({"plate": asked.plate}, families).plate
    wrong = [*_unsplit(asked.plate)]
    if wrong:
        raise Refusal(*wrong)
    other = "width" if asked.along == "length" else "length"
    pitch, margin = float(spec.pattern.pitch), float(spec.pattern.margin)
    along, across = (Grid(float(getattr(spec, side)), pitch, margin) for side in (asked.along, other))
    takes_turns = asked.plate["pattern"].get("arrangement", "alternating") == "alternating"
    ends = _ends(along.count, asked.sections, 2 if takes_turns else 1)
    starts = [0.0, *(margin + (end - 0.5) * pitch for end in ends)]
    lengths = [after - before for before, after in zip(starts, [*starts[1:], along.side], strict=True)]
    counts = [after - before for before, after in zip([0, *ends], [*ends, along.count], strict=True)]
    least = min(margin, pitch / 2)
    kept = fitting(across.side - margin - least, pitch) == across.count and all(
        fitting(length - (margin if number == 0 else pitch / 2) - least, pitch) == count
        for number, (length, count) in enumerate(zip(lengths, counts, strict=True))
    )
    if not kept:
        message = f"sections with {decimal_text(pitch / 2, 6)} mm at the joint would get rows more than the whole plate"
        raise refuse("/plate/pattern/margin", f"{message}; accepted: at most {decimal_text(pitch / 2, 6)} mm")
    before, after = EDGES[asked.along]
    offers = []
    for number, length in enumerate(lengths):
        first, last = number == 0, number == len(lengths) - 1
        start = margin if first else pitch / 2
        origin = (start, margin) if asked.along == "length" else (margin, start)
        plate = _section(asked.plate, asked.along, length, least, origin)
        edges = (*(() if first else (before,)), *(() if last else (after,)))
        offers.append(SectionOffer(f"{asked.name[:40]}, section {number + 1} of {len(lengths)}", plate, edges))
    return SplitAnswer(tuple(offers), (caution(EDGES[asked.along], "/sections"),))


def _unsplit(plate: Mapping[str, Any]) -> list[Fault]:
    """Why a plate is not split."""
    accepted = "accepted for a plate that is split: "
    if plate["family"] != "rectangular":
        return [Fault("/plate/family", f"{plate['family']!r} is not split; {accepted}rectangular")]
    pattern = plate.get("pattern", {})
    wrong = [
        Fault(f"/plate/{name}", f"stands at a place of the whole plate; {accepted}{', '.join(sorted(PLATE_FIELDS))}")
        for name in plate
        if name not in PLATE_FIELDS
    ]
    wrong += [
        Fault(f"/plate/pattern/{name}", f"is not carried over a joint; {accepted}{', '.join(sorted(PATTERN_FIELDS))}")
        for name in pattern
        if name not in PATTERN_FIELDS
    ]
    if pattern.get("arrangement") == "separate":
        message = f"'separate' has two lattices; {accepted}alternating, combination"
        wrong.append(Fault("/plate/pattern/arrangement", message))
    wrong += [
        Fault(f"/plate/pattern/{name}", f"is needed to carry the lattice over the joint; {accepted}a length")
        for name in ("pitch", "margin")
        if name not in pattern
    ]
    if "text" in plate.get("marking", {}):
        wrong.append(Fault("/plate/marking/text", f"would stand on every section; {accepted}edges alone"))
    return wrong


def _ends(count: int, sections: int, step: int) -> list[int]:
    """After how many rows or columns each joint lies: as evenly as whole steps allow."""
    if count < step * sections:
        message = f"{sections} sections of {count} rows or columns; accepted: at most {max(1, count // step)}"
        raise refuse("/sections", message)
    return [step * floor(count * number / sections / step) for number in range(1, sections)]


def _section(
    plate: Mapping[str, Any], along: str, length: float, margin: float, origin: Sequence[float]
) -> dict[str, Any]:
    x, y = (f"{decimal_text(place, 6)} mm" for place in origin)
    pattern = {**plate["pattern"], "margin": f"{decimal_text(margin, 6)} mm", "origin": {"x": x, "y": y}}
    return {**plate, along: f"{decimal_text(length, 6)} mm", "pattern": pattern}
