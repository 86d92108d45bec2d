"""Prices agreed on kinds of work and items: lines of their own, lawful on paper and on plates, and checked on cards."""

from collections.abc import Iterable
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any, Final

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate import proof
from tallyplate.contract import CONTRACT, Build, Charge, CostModule, PerOrder, Stage
from tallyplate.installation import Form, Installation, compose
from tallyplate.money import Rounding
from tallyplate.quoting import Quoted, beside_today, quote
from tallyplate.rates.agreed import named
from tallyplate.rates.quoting import AgreedPrice, PriceList
from tallyplate.rates.sections import money_hook
from tests.plates import MINIMAL, installation
from tests.proof.bare import only
from tests.quote.quotes import CUSTOMER, ISSUED, asked, made
from tests.rates.folder import CARD, SHOP, good, merged, write

BUSHED: Final = {"customer": {**CUSTOMER, "account": "thornwick-gauge"}}
CENT: Final = Decimal("0.01")


def _list(agreed: dict[str, list[tuple[int, int]]], share: int = 0) -> PriceList:
    """A price list with agreed prices by name, in steps of cents and tenths of a percent."""

    def steps(given: Iterable[tuple[int, int]]) -> list[dict[str, str]]:
        return [{"from": f"{start / 100:.2f} USD", "discount": f"{tenths / 10} %"} for start, tenths in given]

    prices = {name: {"title": name, "module": "inserts", "steps": steps(given)} for name, given in agreed.items()}
    said = {"title": "list", "steps": steps([(0, share)]), "agreed": prices}
    return msgspec.convert(said, PriceList, dec_hook=money_hook("USD"))


def test_each_part_is_graduated_and_what_is_left_is_rounded_once() -> None:
    price_list = _list({"a": [(0, 100), (10_000, 200)], "b": [(0, 55)]})
    # 10 % of 100.00 and 20 % of 50.05 are 20.01; 5.5 % of 10.09 are 0.55495.
    assert price_list.agreed_discounts(50_000, {"a": 15_005, "b": 1_009}, Rounding.HALF_UP) == {"a": 2_001, "b": 55}
    # Three times 0.3 cents are one cent, which no single part would be.
    thirds = _list({name: [(0, 300)] for name in "abc"})
    assert sum(thirds.agreed_discounts(10, dict.fromkeys("abc", 1), Rounding.HALF_UP).values()) == 1


def test_an_item_that_adds_nothing_is_granted_nothing() -> None:
    assert _list({"a": [(0, 999)]}).agreed_discounts(500, {"a": 0}, Rounding.HALF_UP) == {"a": 0}


@st.composite
def _grown(draw: st.DrawFn) -> tuple[PriceList, int, dict[str, int], int, dict[str, int]]:
    """A price list, and a plate that grows: its price, and what each item adds to it, before and after."""
    names = draw(st.sampled_from([["a"], ["a", "b"], ["a", "b", "c"]]))
    most, agreed = 1000, {}
    for name in names:
        starts = sorted(draw(st.sets(st.integers(1, 5_000), max_size=2)))
        highest = draw(st.integers(0, most))
        most -= highest
        shares = [draw(st.integers(0, highest)) for _ in starts]
        agreed[name] = [*zip([0, *starts], [*shares, highest], strict=True)]
    less = draw(st.integers(0, 10_000))
    more = less + draw(st.integers(0, 30) | st.integers(0, 10_000))
    without = {name: sorted(draw(st.tuples(st.integers(0, less), st.integers(0, more)))) for name in names}
    before = {name: less - min(left[0], less) for name, left in without.items()}
    after = {name: more - left[1] for name, left in without.items()}
    return _list(agreed), less, before, more, after


@given(_grown(), st.sampled_from(Rounding))
def test_no_agreed_prices_make_a_price_negative_or_a_dearer_plate_cheaper(
    grown: tuple[PriceList, int, dict[str, int], int, dict[str, int]], rounding: Rounding
) -> None:
    price_list, less, before, more, after = grown
    paid, then = (
        total - sum(price_list.agreed_discounts(total, added, rounding).values())
        for total, added in ((less, before), (more, after))
    )
    assert 0 <= paid <= less
    assert paid <= then


def test_shares_that_would_together_give_away_more_than_a_part_are_refused() -> None:
    assert [*_list({"a": [(0, 600)], "b": [(0, 100), (1, 400)]}).agreed] == ["a", "b"]
    with pytest.raises(msgspec.ValidationError, match="together be at most 100 %"):
        _list({"a": [(0, 600)], "b": [(0, 100), (1, 401)]})


@pytest.mark.parametrize(
    ("words", "item", "on"),
    [
        ("bushings", "bushings M12", True),
        ("bushings", "bushings", True),
        ("bushings", "fitting bushings M12", False),
        ("bushing", "bushings M12", False),
        ("Aluminium 6061-T6", "Aluminium 6061-T6, plate", True),
        (msgspec.UNSET, "anything", True),
    ],
)
def test_an_agreed_price_is_on_items_that_begin_with_its_words(words: Any, item: str, *, on: bool) -> None:
    price = msgspec.convert(
        {"title": "t", "module": "inserts", "steps": [{"from": "0 USD", "discount": "1 %"}]},
        AgreedPrice,
        dec_hook=money_hook("USD"),
    )
    assert named(msgspec.structs.replace(price, item=words), item) is on


def _bushed() -> Quoted:
    return made(BUSHED)


def test_an_agreed_price_is_a_line_of_its_own_that_anyone_can_work_out_again() -> None:
    made_out = _bushed().quote
    agreed, rest = made_out.adjustments
    assert (agreed.item, rest.item) == ("Agreed price: bushings", "Bushing agreement")
    on, _, steps = agreed.basis.removeprefix("on ").partition(": ")
    assert steps == "8 %; 12 % of what is above 2000.00"
    exact = Decimal(2000) * Decimal("0.08") + (Decimal(on) - 2000) * Decimal("0.12")
    assert abs(Decimal(agreed.amount) + exact) <= CENT / 2
    left = Decimal(made_out.list_total) + Decimal(agreed.amount)
    assert abs(Decimal(rest.amount) + left / 100) <= CENT / 2
    assert Decimal(made_out.total) == left + Decimal(rest.amount)


def test_what_the_bushings_add_is_their_lines_with_overhead_and_margin() -> None:
    quoted = _bushed()
    bushings = sum(Fraction(line.amount) for line in quoted.price.lines if line.item.startswith("bushings"))
    card = good(CARD)
    overhead = Fraction(card["overhead"]["on_purchases"].removesuffix(" %")) / 100
    margin = Fraction(card["margin"]["of_price"].removesuffix(" %")) / 100
    added = Fraction(quoted.quote.adjustments[0].basis.removeprefix("on ").partition(":")[0])
    # Overhead and margin round for themselves, and the mark-up to six decimals.
    assert abs(added - bushings * (1 + overhead) / (1 - margin)) < Fraction("0.03")


def test_other_quantities_and_todays_price_have_the_agreed_prices_too() -> None:
    quoted = made({**BUSHED, "quantities": [7]})
    (other,) = quoted.quote.quantity_prices
    assert other.total == made(BUSHED, {"/quantity": 7}).quote.total
    today = beside_today(quoted.quote, installation(), ISSUED + timedelta(days=3))
    assert today.comparison
    assert today.comparison.difference == "0.00"
    assert "Agreed price: bushings" in [line.item for line in today.comparison.lines]


def test_where_a_minimum_order_is_due_bushings_add_nothing_and_nothing_is_granted() -> None:
    request = asked(BUSHED, {"/plate": {**MINIMAL["plate"], "length": "60 mm", "width": "60 mm"}, "/quantity": 1})
    request["plate"] |= {"pattern": {"pitch": "35 mm", "margin": "20 mm"}, "mounting": {"surface": "none"}}
    quoted = quote(request, installation(), Form.INSIDE, ISSUED)
    assert any(line.module == "minimum" for line in quoted.price.lines)
    assert any(line.item.startswith("bushings") for line in quoted.price.lines)
    assert [line.item for line in quoted.quote.adjustments] == ["Bushing agreement"]


@pytest.fixture(scope="module")
def generous(tmp_path_factory: pytest.TempPathFactory) -> Installation:
    """The demonstration with shares that nobody would grant: half of the material, and half of the holes."""
    half = {"steps": [{"from": "0 USD", "discount": "20 %"}, {"from": "90 USD", "discount": "50 %"}]}
    agreed = {
        "holes": {"title": "holes", "module": "holes", **half},
        "stock": {"title": "s", "module": "stock", **half},
    }
    folder = tmp_path_factory.mktemp("generous")
    changes = {"quotes": {"price_lists": {"bushed": {"agreed": {**agreed}}}}}
    data = merged(good(CARD), changes)
    del data["quotes"]["price_lists"]["bushed"]["agreed"]["bushings"]
    write(folder / "rate_cards" / CARD.name, data)
    write(folder / "shop_data" / SHOP.name, good(SHOP))
    return compose(installation().families, installation().modules, folder)


FREE: Final = {"surface": "none"}
CHAINS: Final[dict[str, list[dict[str, Any]]]] = {
    # Over the lengths of the sheets that stock comes in, and down to plates of less than the minimum order.
    "longer": [{"/plate/length": f"{size} mm"} for size in (120, 240, 480, 960, 997, 1003, 1200, 1490, 1510, 1590)],
    "more of them": [{"/quantity": count, "/plate/length": "120 mm"} for count in (*range(1, 12), 30, 31)],
    "tighter": [{"/plate/position_tolerance": f"{zone} mm"} for zone in (0.2, 0.1, 0.05, 0.03, 0.02)],
    "more holes": [{"/plate/pattern/pitch": f"{pitch} mm"} for pitch in (315, 105, 35)],
}


@pytest.mark.parametrize("name", CHAINS)
def test_a_dearer_plate_and_more_plates_never_cost_less(generous: Installation, name: str) -> None:
    totals = [
        (Decimal(one.total), Decimal(one.list_total))
        for changes in CHAINS[name]
        for one in [made(BUSHED, {"/plate/mounting": FREE, **changes}, here=generous).quote]
    ]
    assert all(0 < paid < listed for paid, listed in totals)
    assert all(lower <= upper for (lower, _), (upper, _) in pairwise(totals))
    assert totals[0] < totals[-1]


def test_old_cards_without_agreed_prices_have_none() -> None:
    terms = installation().cards[-1].quotes
    assert terms
    assert terms.price_lists["frame-2026"].agreed == {}


def _shape_and_credit(build: Build, *_: Any) -> Iterable[Charge]:
    """A module whose whole is lawful, and which is not without its first item."""
    length, hundred = build.body.length, PerOrder(10000, 2)
    yield Charge("coat", length, hundred)
    yield Charge("handling", max(0.0, 3000 - length / 2), hundred)


def test_the_card_checker_finds_an_agreed_price_without_whose_item_a_law_is_broken(tmp_path: Path) -> None:
    module = CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=_shape_and_credit)
    here, terms = only(module, tmp_path), installation().cards[-1].quotes
    assert terms
    assert not list(proof.broken_laws(here, here.cards[0], here.shops[0]))
    steps = terms.price_lists["toolrooms"].steps
    lists = {"lacquered": PriceList("L", steps, {"coats": AgreedPrice("coats", "paint", steps, "coat")})}
    card = msgspec.structs.replace(
        here.cards[0], quotes=msgspec.structs.replace(terms, price_lists=lists, customers={})
    )
    (told,) = proof.broken_laws(here, card, here.shops[0])
    assert "without what the agreed price 'coats' is on, " in told
    assert "a larger plate must never cost less" in told


def test_the_card_checker_says_what_agreed_price_is_on_nothing() -> None:
    here, shop = installation(), installation().shops[-1]
    card = here.cards[-1]
    assert card.quotes
    steps = card.quotes.price_lists["toolrooms"].steps
    lists = {"l": PriceList("L", steps, {"b": AgreedPrice("grommets", "inserts", steps, "grommets")})}
    other = msgspec.structs.replace(card, quotes=msgspec.structs.replace(card.quotes, price_lists=lists, customers={}))
    assert not [one for one in proof.scope(here, card, shop).left_out if "agreed" in one]
    (told,) = [one for one in proof.scope(here, other, shop).left_out if "agreed" in one]
    assert told.startswith("agreed price 'grommets', which is on none of the items of inserts: bushings ")
