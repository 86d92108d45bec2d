"""The engine: charges become lines, stages see what came before them, and the cheapest blank is kept."""

import tomllib
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Build,
    Charge,
    Line,
    PerHour,
    PerKilogram,
    PerOrder,
    PerPiece,
    PerSquareMetre,
    Rate,
    Refusal,
    Share,
    Stage,
    Sum,
    labour,
    purchases,
    subtotal,
    work,
)
from tallyplate.contract.plugins import CostModule
from tallyplate.installation import compose
from tallyplate.pricing import PluginFailure
from tallyplate.rates.heads import CardHead, ShopHead
from tests.misbehaving import WRONG, module
from tests.plates import MINIMAL, installation, request
from tests.rates.folder import CARD, SHOP, write

Lines = list[dict[str, Any]]


@pytest.fixture
def priced(tmp_path: Path) -> Any:
    """A function that prices with some modules alone, under a card and shop data without any section of a module."""
    for place, good, head in (("rate_cards", CARD, CardHead), ("shop_data", SHOP, ShopHead)):
        data = tomllib.loads(good.read_text())
        write(tmp_path / place / "head.toml", {key: data[key] for key in head.__struct_fields__ if key != "quotes"})

    def price(modules: dict[str, CostModule], **changes: Any) -> tuple[str, Lines]:
        alone = compose(installation().families, modules, tmp_path)
        answer = alone.price(request({f"/{name}": value for name, value in changes.items()}, MINIMAL))
        lines = [{name: getattr(line, name) for name in ("module", "item", "quantity", "unit", "rate", "amount")}
                 for line in answer.lines]  # fmt: skip
        return answer.total, lines

    return price


def _says(*charges: Charge, stage: Stage = Stage.MAKE) -> CostModule:
    return module(lambda *_: charges, stage)


@pytest.mark.parametrize(
    ("rate", "quantity", "printed"),
    [
        (PerPiece(350, 2), 3, "3"),
        (PerPiece(350, 2), 2.5, "3"),
        (PerKilogram(790, 2), 81.9105, "81.911"),
        (PerKilogram(790, 2), 81.9104999, "81.910"),
        (PerKilogram(123457, 6), 1234.5675, "1234.568"),
        (PerHour(9600, 2), 0.00005, "0.0001"),
        (PerHour(9600, 2), 0.00004999, "0.0000"),
        (PerHour(9600, 2), 1 / 3, "0.3333"),
        (PerSquareMetre(6200, 2), 1.51515, "1.5152"),
        (PerOrder(4500, 2), 1, "1"),
        (PerPiece(0, 2), 7, "7"),
        (PerPiece(5, 3), 1, "1"),
        (PerPiece(15, 3), 1, "1"),
    ],
    ids=repr,
)
def test_a_line_multiplies_what_it_prints(priced: Any, rate: Rate, quantity: float, printed: str) -> None:
    total, (line,) = priced({"paint": _says(Charge("coat", quantity, rate))})
    assert (line["quantity"], line["unit"], line["rate"]) == (printed, rate.unit, rate.text)
    product = Decimal(printed) * Decimal(rate.text)
    assert Decimal(line["amount"]) == product.quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert total == line["amount"]


def test_a_charge_a_plate_is_rounded_once_for_the_whole_order(priced: Any) -> None:
    total, (line,) = priced({"paint": module(_a_third_each)}, quantity=9)
    assert (line["quantity"], total) == ("3.000", "3.00")


def _a_third_each(*_: Any) -> Iterator[Charge]:
    yield Charge("coat", 1 / 3, PerKilogram(100, 2))


def test_time_is_charged_at_the_rate_of_its_work_centre(priced: Any) -> None:
    total, (line,) = priced({"paint": _says(work("painting", 5_400, "mill"))})
    assert (line["quantity"], line["unit"], line["rate"], total) == ("1.5000", "h", "96.00", "144.00")


def test_what_is_missing_to_a_minimum_stands_on_a_line_of_its_own(priced: Any) -> None:
    def coat(pieces: int) -> dict[str, CostModule]:
        return {"paint": _says(Charge("coat", pieces, PerPiece(500, 2), at_least=Sum(2_000)))}

    total, lines = priced(coat(3))
    assert [line["amount"] for line in lines] == ["15.00", "5.00"]
    assert [line["module"] for line in lines] == ["paint", "paint"]
    assert total == "20.00"
    for pieces in (4, 5):
        total, lines = priced(coat(pieces))
        assert len(lines) == 1


def test_a_stage_sees_the_lines_of_the_stages_before_it_and_no_others(priced: Any) -> None:
    seen: dict[str, list[str]] = {}

    def watching(name: str, stage: Stage) -> CostModule:
        def charges(build: Build, order: Any, shop: Any, rates: Any, earlier: tuple[Line, ...]) -> Iterator[Charge]:
            seen[name] = [str(subtotal(earlier)), str(purchases(earlier)), str(labour(earlier))]
            yield Charge("coat", 1, PerPiece(100, 2))
            yield work("painting", 37.5, "mill")

        return module(charges, stage)

    stages = (Stage.MAKE, Stage.MAKE, Stage.OVERHEAD, Stage.OVERHEAD, Stage.MARGIN, Stage.ORDER)
    total, _ = priced(
        {f"{stage.name}{index}".lower(): watching(f"{index}", stage) for index, stage in enumerate(stages)}
    )
    # Each module buys for 1.00 and works for 37.5 s at 96.00 an hour, which is 1.00.
    assert [seen[str(index)] for index in range(6)] == [
        ["0", "0", "0"],
        ["0", "0", "0"],
        ["400", "200", "200"],
        ["400", "200", "200"],
        ["800", "400", "400"],
        ["1000", "500", "500"],
    ]
    assert total == "12.00"


def test_a_share_is_taken_of_what_came_before(priced: Any) -> None:
    def charges(build: Build, order: Any, shop: Any, rates: Any, earlier: tuple[Line, ...]) -> Iterator[Charge]:
        yield Charge("on top", subtotal(earlier), Share(125, 3))

    modules = {"paint": _says(Charge("coat", 1, PerPiece(1001, 2))), "fee": module(charges, Stage.OVERHEAD)}
    total, (_, fee) = priced(modules)
    assert (fee["quantity"], fee["unit"], fee["rate"], fee["amount"]) == ("10.01", "USD", "0.125", "1.25")
    assert total == "11.26"


def test_lines_stand_by_stage_then_by_place_then_by_name(priced: Any) -> None:
    def at(place: int, stage: Stage = Stage.MAKE) -> CostModule:
        return CostModule(contract=1, stage=stage, place=place, charges=lambda *_: [Charge("coat", 1, PerPiece(1, 2))])

    modules = {"z": at(10), "a": at(20), "m": at(20), "b": at(1, Stage.MARGIN), "c": at(99, Stage.OVERHEAD)}
    _, lines = priced(modules)
    assert [line["module"] for line in lines] == ["z", "a", "m", "c", "b"]


def test_the_cheapest_blank_is_kept_whole_and_the_first_of_equals(priced: Any) -> None:
    # Two forms of this material hold a plate of the usual thickness.
    for dear, kept in (("plate", "precision plate"), ("precision plate", "plate"), ("neither", "plate")):

        def charges(build: Build, *_: Any, dear: str = dear) -> Iterator[Charge]:
            yield Charge(build.blank.form, 1, PerPiece(200 if build.blank.form == dear else 100, 2))

        total, (line,) = priced({"paint": module(charges)})
        assert (line["item"], total) == (kept, "1.00")


@pytest.mark.parametrize(("says", "reason"), WRONG.values(), ids=WRONG)
def test_a_module_that_goes_wrong_is_named_with_what_it_did(priced: Any, says: Any, reason: str) -> None:
    with pytest.raises(PluginFailure, match=r"^cost module 'paint' failed: ") as failed:
        priced({"paint": module(says)})
    assert reason in str(failed.value)


def test_an_optional_module_may_refuse_an_order_and_do_nothing_else_wrong(priced: Any) -> None:
    def optional(name: str) -> dict[str, CostModule]:
        return {"paint": replace(module(WRONG[name][0]), optional=True, reads_order=False)}

    with pytest.raises(Refusal, match="not today"):
        priced(optional("it refuses, which is a family's right"))
    with pytest.raises(PluginFailure, match="the drill broke"):
        priced(optional("it raises"))
