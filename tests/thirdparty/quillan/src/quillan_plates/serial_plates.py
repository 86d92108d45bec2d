"""Serial plates: one engraved and riveted to every fixture plate, and an entry in a register for every order."""

from collections.abc import Iterable
from pathlib import Path

from msgspec import Struct

from tallyplate.contract import (
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    PerCharacter,
    PerOrder,
    PerPiece,
    Seconds,
    ShopData,
    Stage,
    work,
)


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """A blank serial plate, its engraving, and the entry of an order."""

    plate: PerPiece
    engraving: PerCharacter
    entry: PerOrder


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """How long a serial number is, and the time that its plate takes."""

    characters: int
    character: Seconds
    riveting: Seconds


def charges(build: Build, order: Order, shop: ShopData, rates: Rates, earlier: tuple[Line, ...]) -> Iterable[Charge]:
    """Plates, engraving, the entry, and the time of the laser and the bench."""
    own = shop.figures(Figures)
    basis = f"{own.characters} characters a plate"
    yield Charge("serial plates", 1, rates.plate)
    yield Charge("engraved characters", own.characters, rates.engraving, basis=basis)
    yield Charge("entry in the register", 0, rates.entry, per_order=1)
    yield work("engraving serial plates", own.characters * own.character, "laser", basis)
    yield work("riveting serial plates", own.riveting, "bench")


FOLDER = Path(__file__).parent

MODULE = CostModule(
    contract=1,
    stage=Stage.MAKE,
    place=95,
    title="Serial plates",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("laser", "bench"),
    reads_blank=False,
    reads_order=False,
    example_rates=(FOLDER / "serial_plates_rates.toml").read_text("utf-8"),
    example_figures=(FOLDER / "serial_plates_figures.toml").read_text("utf-8"),
)
