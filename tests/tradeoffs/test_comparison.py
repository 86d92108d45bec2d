"""Two prices side by side: every difference is on a line, and the lines sum exactly."""

from collections import Counter
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, reject, settings
from msgspec.structs import replace

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Refusal
from tallyplate.rates.card import RateCard
from tallyplate.tradeoffs.comparison import Comparison, by_module, compare
from tests.plates import MINIMAL, request
from tests.strategies import Json, requests
from tests.tradeoffs.cards import card, cards, priced


def _price(asked: Json, under: RateCard) -> PriceAnswer:
    try:
        return priced(asked, under)
    except Refusal:
        reject()


def _by_line(comparison: Comparison) -> Counter[tuple[str, str, int]]:
    """The difference on each line: module, item, and which of several of that name; lines that do not move left out."""
    seen: Counter[tuple[str, str]] = Counter()
    differences: Counter[tuple[str, str, int]] = Counter()
    for line in comparison.lines:
        name = line.module, line.item
        differences[*name, seen[name]] += Decimal(line.difference)  # type: ignore[assignment]
        seen[name] += 1
    return Counter({key: moved for key, moved in differences.items() if moved})


@settings(max_examples=30)
@given(requests(), requests(), cards(), cards())
def test_lines_and_modules_sum_exactly_to_the_difference_in_price(
    one: Json, other: Json, old: RateCard, new: RateCard
) -> None:
    a, b = _price(one, old), _price(other, new)
    comparison = compare(a, b)
    difference = Decimal(b.total) - Decimal(a.total)
    assert Decimal(comparison.difference) == difference
    for parts in (comparison.lines, comparison.modules):
        assert sum((Decimal(part.difference) for part in parts), Decimal()) == difference
        assert sum((Decimal(part.a) for part in parts), Decimal()) == Decimal(a.total)
        assert sum((Decimal(part.b) for part in parts), Decimal()) == Decimal(b.total)
    assert len(comparison.lines) >= max(len(a.lines), len(b.lines))


@settings(max_examples=30)
@given(requests(), requests(), cards(), cards(), cards())
def test_from_a_to_b_and_on_to_c_is_from_a_to_c_line_by_line(
    one: Json, other: Json, first: RateCard, second: RateCard, third: RateCard
) -> None:
    a, b, c = _price(one, first), _price(other, second), _price(one, third)
    there, on, whole = (_by_line(compare(*pair)) for pair in ((a, b), (b, c), (a, c)))
    summed = Counter(there)
    summed.update(on)
    assert {key: moved for key, moved in summed.items() if moved} == dict(whole)


@given(requests(), cards())
def test_a_price_does_not_differ_from_itself(asked: Json, under: RateCard) -> None:
    price = _price(asked, under)
    comparison = compare(price, price)
    assert not _by_line(comparison)
    assert Decimal(comparison.difference) == 0
    assert "-0" not in comparison.difference + comparison.percent


def test_there_and_back_differ_by_the_sign_alone() -> None:
    dearer = priced(MINIMAL, card(work_centers__mill=2))
    there, back = compare(priced(MINIMAL), dearer), compare(dearer, priced(MINIMAL))
    assert _by_line(there) == Counter({key: -moved for key, moved in _by_line(back).items()})
    assert Decimal(there.difference) > 0


def test_a_line_that_one_price_lacks_counts_in_full() -> None:
    plain, finished = priced(request({"/plate/finish": "plain"})), priced(request({"/plate/finish": "anodized"}))
    (line,) = [line for line in compare(plain, finished).lines if line.item == "Anodized"]
    assert (line.a, line.difference) == ("0", line.b)
    assert Decimal(line.b) > 0


def test_lines_of_a_module_stand_together_wherever_they_come_from() -> None:
    lines = compare(priced(request({"/plate/finish": "plain"})), priced(request())).lines
    modules = [line.module for line in lines]
    assert modules == sorted(modules, key=modules.index)


def test_lines_of_one_name_are_told_apart_by_their_turn() -> None:
    lines = [line for line in compare(priced(request()), priced(request())).lines if line.item == "bushings M12"]
    assert len(lines) == 2
    assert lines[0].a != lines[1].a


def test_percent_is_of_the_first_price_and_unsaid_where_there_was_none() -> None:
    price = priced(request())
    free = replace(price, lines=[], total="0.00")
    assert (
        compare(price, replace(price, total=str(Decimal(price.total) * 2), lines=price.lines * 2)).percent == "100.00"
    )
    assert compare(price, free).percent == "-100.00"
    assert compare(free, price).percent == ""
    assert {module.percent for module in compare(free, price).modules} == {""}


def test_a_change_too_small_for_a_percent_has_no_minus_before_nothing() -> None:
    price = priced(request())
    less = replace(price, total=str(Decimal(price.total) - Decimal("0.01")))
    assert compare(price, less).percent == "0.00"


def test_modules_of_modules_are_the_modules() -> None:
    modules = compare(priced(MINIMAL), priced(MINIMAL, card(work_centers__mill=Fraction(11, 10)))).modules
    assert by_module(modules) == modules


def test_two_currencies_are_refused() -> None:
    price = priced(MINIMAL)
    with pytest.raises(Refusal, match="/b: is in EUR, the other in USD"):
        compare(price, replace(price, currency="EUR"))
