"""Price lists: a list that charges all pieces at the price of the last costs less just after a step."""

from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from tallyplate import proof
from tallyplate.contract import Charge, PerPiece, PriceBreaks, Stage
from tallyplate.contract.plugins import CONTRACT, CostModule
from tallyplate.proof.price_lists import falling_lists
from tests.plates import installation
from tests.proof.bare import only

BREAKS = {"breaks": [{"from": 1, "price": "8.90 USD/piece"}, {"from": 51, "price": "8.00 USD/piece"}]}


class AllUnits(PriceBreaks, frozen=True, forbid_unknown_fields=True):
    """A price list by which all pieces cost what the last one does."""

    def steps(self, count: int) -> Iterator[tuple[PerPiece, int, int]]:
        reached = [step.price for step in self.breaks if step.from_piece <= count]
        if reached:
            yield reached[-1], 1, count


class Coats(Struct, frozen=True, forbid_unknown_fields=True):
    """A section of a rate card with a list in a table."""

    coat: dict[str, AllUnits]


def test_a_list_that_falls_at_a_step_is_said_with_file_line_and_both_costs(tmp_path: Path) -> None:
    coats = CostModule(contract=CONTRACT, stage=Stage.MAKE, rates=Coats, charges=lambda *_: ())
    installed = only(coats, tmp_path, {"coat": {"matt": BREAKS}})
    costs = "50 cost 445.00 and 51 cost 408.00"
    says = f"rate_cards/2026-01.toml:7: paint.coat.matt: {costs}: more pieces must never cost less"
    assert list(falling_lists(installed.cards[0])) == [says]
    assert says in list(proof.broken_laws(installed, installed.cards[0], installed.shops[0]))


def test_a_list_that_falls_breaks_the_law_of_quantities_as_well_where_a_plate_takes_a_piece(tmp_path: Path) -> None:
    def charges(build: object, order: object, shop: object, rates: Coats, earlier: object) -> Iterator[Charge]:
        yield Charge("coat", 1, rates.coat["matt"])

    coats = CostModule(contract=CONTRACT, stage=Stage.MAKE, rates=Coats, charges=charges)
    installed = only(coats, tmp_path, {"coat": {"matt": BREAKS}})
    told = "\n".join(proof.broken_laws(installed, installed.cards[0], installed.shops[0]))
    assert "cost 445.00 and 51 cost 408.00 (less in paint): more plates must never cost less" in told


def test_the_demonstrations_lists_never_fall() -> None:
    assert not list(falling_lists(installation().cards[0]))
