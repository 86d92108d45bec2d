"""What a figure is worth: right for cards, shop data and portfolios, and silent about what is not used."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from tallyplate.contract import Refusal, ShopData
from tallyplate.pricing import PluginFailure
from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import changed, figures
from tallyplate.tradeoffs.worth import Place, Worth, shown, worth
from tests.plates import MINIMAL, installation, request
from tests.strategies import CARD, SHOP, Json
from tests.tradeoffs.cards import card, total

pytestmark = pytest.mark.slow

UP, DOWN = Fraction(101, 100), Fraction(99, 100)
COARSE = request({"/plate/position_tolerance": "0.5 mm"})
AT_THE_LIMIT = request({"/plate/position_tolerance": "0.03 mm"})
"""Positions just wide enough not to be bored: any tighter, and each locating hole is."""


def _worth(*orders: Json, under: RateCard = CARD) -> dict[str, Worth]:
    def prices(card: RateCard, shop: ShopData) -> list[Decimal]:
        return [Decimal(installation().price_under(order, card, shop).total) for order in orders]

    return {f"{one.source} {one.figure}": one for one in worth(prices, under, SHOP)}


@cache
def _of_example() -> dict[str, Worth]:
    return _worth(AT_THE_LIMIT)


@cache
def _of_coarse() -> dict[str, Worth]:
    return _worth(COARSE)


@cache
def _of_both() -> dict[str, Worth]:
    return _worth(COARSE, AT_THE_LIMIT)


def _mill(card: RateCard) -> Decimal:
    return Decimal(card.work_centers["mill"].text)


def test_a_rates_worth_is_the_change_in_price_when_it_alone_moves_by_a_hundredth() -> None:
    for path in ("work_centers.mill", "sections.stock.price.al-6061-t6.plate", "sections.margin.of_price"):
        one = _of_example()[f"rate_card {path.removeprefix('sections.')}"]
        before = total(AT_THE_LIMIT)
        assert Decimal(one.up) == total(AT_THE_LIMIT, changed(CARD, path, UP)) - before > 0
        assert Decimal(one.down) == total(AT_THE_LIMIT, changed(CARD, path, DOWN)) - before < 0
        assert one.percent == f"{max(Decimal(one.up), -Decimal(one.down)) / before * 100:.3f}"


def test_a_shop_figures_worth_is_the_change_in_price_when_it_alone_moves() -> None:
    one = _of_example()["shop_data setup.clamping"]
    faster = installation().price_under(AT_THE_LIMIT, CARD, changed(SHOP, "sections.setup.clamping", DOWN))
    assert Decimal(one.down) == Decimal(faster.total) - total(AT_THE_LIMIT)
    assert one.value == "1500 s"


def test_what_no_line_uses_is_absent() -> None:
    unused = [name for name in _all_figures() if "steel" in name or "M10" in name or "retractable_pin" in name]
    assert len(unused) > 20
    assert not set(unused) & set(_of_example())
    assert "rate_card work_centers.grinder" in _all_figures() - set(_of_example())


def _all_figures() -> set[str]:
    both = {"rate_card": CARD, "shop_data": SHOP}
    return {f"{source} {path.removeprefix('sections.')}" for source, node in both.items() for path, _ in figures(node)}


def test_every_figure_listed_moves_the_price_and_the_greatest_stand_first() -> None:
    moves = [max(abs(Decimal(move)) for move in (one.up, one.down) if move) for one in _of_example().values()]
    assert all(moves)
    assert moves == sorted(moves, reverse=True)


def test_a_threshold_that_the_price_stands_on_is_kept_and_marked_as_a_step() -> None:
    one = _of_example()["shop_data cutting.bore_below"]
    assert one.step
    assert Decimal(one.up) > 30
    assert Decimal(one.down) == 0


def test_a_threshold_far_off_is_absent() -> None:
    assert "shop_data cutting.bore_below" not in _of_coarse()


def test_one_order_at_a_threshold_marks_the_step_for_the_whole_portfolio() -> None:
    assert _of_both()["shop_data cutting.bore_below"].step


def test_rates_that_multiply_are_no_steps() -> None:
    assert not [name for name, one in _of_example().items() if one.source == "rate_card" and one.step]
    for name in ("setup.clamping", "materials.al-6061-t6.density", "materials.al-6061-t6.speeds.drilling"):
        assert not _of_example()[f"shop_data {name}"].step


def test_a_portfolio_is_worth_the_sum_of_its_orders() -> None:
    apart, together = (_of_coarse(), _of_example()), _of_both()
    for name in ("rate_card work_centers.mill", "rate_card margin.of_price", "shop_data inserts.bushing"):
        assert Decimal(together[name].up) == sum(Decimal(one[name].up) for one in apart)


def test_a_figure_that_cannot_be_raised_is_said_to_be_so() -> None:
    one = _worth(MINIMAL, under=card(sections__margin__of_price=Fraction(995, 220)))["rate_card margin.of_price"]
    assert one.value == "99.5 %"
    assert one.up == ""
    assert Decimal(one.down) < 0
    assert Decimal(one.percent) > 0


@pytest.mark.parametrize("failure", [Refusal(), PluginFailure("stock", "KeyError: 'plate'"), ValueError()], ids=repr)
def test_an_order_that_cannot_be_priced_with_a_figure_leaves_that_side_open(failure: Exception) -> None:
    def prices(card: RateCard, _: ShopData) -> list[Decimal]:
        if _mill(card) > _mill(CARD):
            raise failure
        return [_mill(card)]

    (one,) = worth(prices, CARD, SHOP)
    assert (one.figure, one.up, one.down) == ("work_centers.mill", "", "-0.96")


def test_a_jump_anywhere_within_the_hundredth_is_a_step_and_a_curve_is_none() -> None:
    def jumps(at: Fraction) -> bool:
        (one,) = worth(lambda card, _: [Decimal(900 if _mill(card) >= 96 * at else 700)], CARD, SHOP)
        return one.step

    assert all(jumps(1 + Fraction(share, 10_000)) for share in (1, 25, 50, 51, 75, 100))
    (curved,) = worth(lambda card, _: [9600 * 100 / _mill(card)], CARD, SHOP)
    assert not curved.step


def test_moves_of_cents_are_not_called_steps_for_being_rounded() -> None:
    (one,) = worth(lambda card, _: [round(_mill(card) / 50, 2)], CARD, SHOP)
    assert (one.up, one.step) == ("0.02", False)


def test_figures_can_be_watched_as_they_go_by() -> None:
    seen: list[str] = []

    def watch(places: Sequence[Place]) -> Iterator[Place]:
        for source, path, leaf in places:
            seen.append(path)
            yield source, path, leaf

    worth(lambda card, _: [_mill(card)], CARD, SHOP, watch)
    assert len(seen) == sum(1 for node in (CARD, SHOP) for _ in figures(node))


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("work_centers.mill", "96.00 USD/h"),
        ("sections.stock.price.al-6061-t6.plate", "7.90 USD/kg"),
        ("sections.stock.cut", "3.50 USD/piece"),
        ("sections.finishing.finish.anodized.minimum", "140.00 USD"),
        ("sections.margin.of_price", "22 %"),
        ("cutting.bore_below", "0.03 mm"),
        ("materials.al-cast.stock.precision plate.thicknesses.3", "1.25 in"),
        ("materials.steel-1018.density", "7.85e-06 kg/mm3"),
        ("machine.settle", "0.4 s"),
        ("work_centers.saw.capacity", "7 h/day"),
        ("cutting.ream_feed", "2"),
    ],
)
def test_a_figure_is_shown_as_it_is_used_with_its_unit(path: str, says: str) -> None:
    leaf = dict(figures(CARD if path.startswith(("work_centers.mill", "sections")) else SHOP))[path]
    assert shown(leaf, CARD) == says
