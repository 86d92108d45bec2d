"""A family that this project has never seen, with choices of its own."""

from enum import Enum
from typing import Annotated, Any, Final, Literal, Optional

from msgspec import UNSET, Meta, Struct, UnsetType, field
from msgspec.structs import replace

import tallyplate
from tallyplate.contract import CONTRACT, Build, Family, Length, PlateSpec, ShopData, Usual, refuse
from tests.plates import DATA, installation


class Grade(Enum):
    PLAIN = "plain"
    TOOL_ROOM = "tool-room"


class Rim(Struct, frozen=True, forbid_unknown_fields=True):
    raised: bool | UnsetType = UNSET
    inner: Optional["Rim"] = None


class Odd(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="odd", kw_only=True):
    """A square plate with choices of its own."""

    side: Length
    depth: Annotated[Length, Meta(title="Depth")] | UnsetType = UNSET
    grade: Grade = Grade.PLAIN
    rows: Literal[2, 3] = 2
    name_plate: bool = False
    labels: tuple[Literal["front", "back"], ...] = ("front",)
    coat: Literal["thin", "thick"] | None = None
    rim: Rim | UnsetType = UNSET
    remark: str = "none"
    pitch: str = "coarse"
    thickness: Literal["thin", "thick"] = "thin"
    screw: Literal["left-handed", "right-handed"] = "right-handed"
    quantity: int = 2
    marks: list[Literal["top", "bottom"]] = field(default_factory=list)
    holes: int = 4


def build(spec: Odd, shop: ShopData, usual: Usual) -> Build:
    if spec.rim and spec.rim.raised is True and spec.name_plate:
        raise refuse("/plate/name_plate", "has no room on a raised rim; accepted: leave it out")
    rectangular = installation().families["rectangular"]
    plate = rectangular.spec(length=spec.side, width=spec.side, material=spec.material)  # type: ignore[call-arg]
    made = rectangular.build(plate, shop, usual)
    fine = spec.grade is Grade.TOOL_ROOM or spec.rows == 3 or spec.name_plate or spec.coat == "thick"
    finer = made.position_tolerance / (2 if fine or (spec.rim and spec.rim.raised) else 1)
    return replace(made, position_tolerance=finer / (1 + len(spec.labels)))


ODD: Final = Family(contract=CONTRACT, title="Odd plate", spec=Odd, build=build)
ASKED: Final[dict[str, Any]] = {
    "plate": {"family": "odd", "side": "300 mm", "material": "al-6061-t6"},
    "as_of": "2026-03-02",
}


def odd_shop() -> tallyplate.Installation:
    """What is installed, and the odd family."""
    known = installation()
    return tallyplate.installation.compose({**known.families, "odd": ODD}, known.modules, DATA)
