"""What an order asks for besides its plates: papers, packing, spare parts and haste."""

from typing import Annotated, Final, Literal, TypeVar

from msgspec import Meta, Struct

from tallyplate.contract.refusals import refuse

Stated = TypeVar("Stated")

Certificate = Literal["none", "2.1", "2.2", "3.1"]
Report = Literal["none", "summary", "every_hole"]


Counts = Annotated[
    dict[Annotated[str, Meta(min_length=1, max_length=60)], Annotated[int, Meta(ge=1, le=100_000)]], Meta(max_length=50)
]


class Spares(Struct, frozen=True, forbid_unknown_fields=True):
    """Parts sent beside the plates of the order, how many of each, by the screw that they go with."""

    bushings: Annotated[Counts, Meta(title="Bushings", examples=[{"1/2-13": 10}])] = {}
    plugs: Annotated[Counts, Meta(title="Hole plugs", examples=[{"1/2-13": 50}])] = {}
    screws: Annotated[Counts, Meta(title="Clamping screws", examples=[{"1/2-13": 20}])] = {}

    def by_kind(self) -> tuple[tuple[str, dict[str, int]], ...]:
        """The counts of each kind that is asked for, in the order of the fields."""
        every = ("bushings", self.bushings), ("plugs", self.plugs), ("screws", self.screws)
        return tuple([(kind, sizes) for kind, sizes in every if sizes])


class Services(Struct, frozen=True, forbid_unknown_fields=True):
    """Paper and service around the plates of an order; what is left out is not asked for."""

    material_certificate: Annotated[
        Certificate,
        Meta(
            title="Material certificate",
            description="By type of EN 10204. 2.1: the mill declares that the metal is as ordered; 2.2: with results "
            "of tests that need not be of this batch; 3.1: with results of this batch, signed by an inspector who is "
            "independent of its making.",
            examples=["3.1"],
        ),
    ] = "none"
    inspection_report: Annotated[
        Report,
        Meta(
            title="Inspection report",
            description="summary: a sheet a plate with the sizes, flatness and holes that were measured in the making; "
            "every_hole: every hole of the pattern measured, each with its own entry.",
            examples=["summary"],
        ),
    ] = "none"
    packing: Annotated[
        Literal["standard", "export"],
        Meta(
            title="Packing",
            description="export: crates of heat-treated timber with the mark of ISPM 15, plates sealed against damp.",
            examples=["export"],
        ),
    ] = "standard"
    spares: Annotated[Spares, Meta(title="Spare parts")] = Spares()
    plugs: Annotated[
        Literal["none", "every_hole"],
        Meta(title="Hole plugs", description="every_hole: a lid of plugs, one in each hole of the pattern."),
    ] = "none"
    matched: Annotated[
        bool,
        Meta(
            title="Matched plates",
            description="Work may go from one plate of the order to another: their close-tolerance holes are all "
            "measured from a common datum, and lie within the same position tolerance.",
        ),
    ] = False
    rush: Annotated[
        bool,
        Meta(
            title="Rush",
            description="Made ahead of other orders, as fast as the hours that the shop keeps for such orders allow.",
        ),
    ] = False


NO_SERVICES: Final = Services()


def offered(stated: Stated | None, pointer: str) -> Stated:
    """The section that a rate card or shop data state for a service; refuses the service where they have none."""
    if stated is None:
        raise refuse(pointer, "is not on offer: rate card or shop data of that date state no figures for it")
    return stated
