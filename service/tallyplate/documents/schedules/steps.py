"""What is made in a hole, step by step: in words for a drawing or a table, and in fields for a program."""

from collections.abc import Iterator
from typing import Literal

from msgspec import UNSET, Struct, UnsetType

from tallyplate.contract import Bore, Hole
from tallyplate.documents.measures import Measure

INSERT = "thread_insert"


class Step(Struct, frozen=True, gc=False):
    """One cylinder or thread. A `depth` is measured from the face, that of a `through` step is the solid's own.

    `tolerance` is the width of the size tolerance, from the stated diameter upward. A thread runs `from_depth`, on
    account of what is made above it, to `depth`.
    """

    step: Literal["bore", "counterbore", "thread"]
    diameter: str
    depth: str
    through: bool = False
    tolerance: str | UnsetType = UNSET
    designation: str | UnsetType = UNSET
    pitch: str | UnsetType = UNSET
    from_depth: str | UnsetType = UNSET


def goes_through(hole: Hole, bore: Bore) -> bool:
    """Whether a bore is the one that breaks out on the far side, or reaches as deep."""
    return hole.through and bore.depth >= hole.bores[0].depth


def steps(hole: Hole, measure: Measure) -> tuple[Step, ...]:
    """The steps in the order in which they are made."""
    return tuple(_steps(hole, measure))


def _steps(hole: Hole, measure: Measure) -> Iterator[Step]:
    for bore in hole.bores:
        yield Step(
            "counterbore" if bore.flat else "bore",
            measure.size(bore.diameter),
            measure.size(bore.depth),
            through=goes_through(hole, bore),
            tolerance=measure.tolerance(bore.tolerance) if bore.tolerance else UNSET,
        )
    if hole.thread:
        start = hole.above
        yield Step(
            "thread",
            measure.size(hole.thread.major),
            measure.size(start + hole.thread.depth),
            through=hole.through and start + hole.thread.depth >= hole.bores[0].depth,
            designation=thread_name(hole),
            pitch=measure.place(hole.thread.pitch),
            from_depth=measure.size(start),
        )


def thread_name(hole: Hole) -> str:
    """A thread by its designation, with the pitch that a metric one leaves out; STI is one that takes a wire insert."""
    if hole.thread is None:
        return ""
    name = hole.thread.designation
    if name.startswith("M") and "x" not in name:
        pitch = f"{hole.thread.pitch:.3f}".rstrip("0").rstrip(".")
        name = f"{name}x{pitch}"
    return f"{name} STI" if INSERT in hole.parts else name


def in_words(step: Step) -> str:
    """A step as a drawing calls it out."""
    reach = " through" if step.through else f", {step.depth} deep"
    if step.step == "thread":
        below = f" from {step.from_depth}" if step.from_depth not in {UNSET, "0"} else ""
        return f"{step.designation}{reach}{below}"
    tolerance = f" +{step.tolerance}/0" if step.tolerance is not UNSET else ""
    flat = "counterbore " if step.step == "counterbore" else ""
    return f"{flat}Ø{step.diameter}{tolerance}{reach}"
