"""Plates priced together cost to the cent what each costs by itself, with every plugin and in every family."""

import json
import random
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate import many
from tallyplate.contract import Charge, CostModule, PerPiece, Refusal, Stage
from tallyplate.installation import Installation
from tallyplate.many import tabled, together
from tallyplate.money import count
from tallyplate.pricing import PluginFailure
from tallyplate.testkit.strategies.plates import plates as plates_of
from tests.plates import EXAMPLES, installation, request
from tests.strategies import AS_OF, SHOP, Json, in_mm, requests, written

TODAY = date.fromisoformat(AS_OF)

FACTORS = [Fraction(factor, 1000) for factor in (1000, 1001, 999, 1010, 1100, 850, 1500, 500)]


def varied(value: Any, factors: Iterator[Fraction]) -> Any:
    """A request whose lengths are each a little larger or smaller."""
    if isinstance(value, dict):
        return {name: varied(inner, factors) for name, inner in value.items()}
    if isinstance(value, list):
        return [varied(inner, factors) for inner in value]
    try:
        mm = in_mm(value) if isinstance(value, str) and " " in value else None
    except (KeyError, ValueError):
        return value
    return value if mm is None else written(mm * next(factors), "mm") or value


def alike(request: Json, seed: int, number: int = 16) -> list[Json]:
    """Requests that differ from one in lengths and quantity alone."""
    chance = random.Random(seed)  # noqa: S311 - nothing is kept secret
    factors = iter(lambda: chance.choice(FACTORS), None)
    return [{**varied(request, factors), "quantity": chance.choice((1, 2, 5, 40, 300))} for _ in range(number)]


def total(request: Json, of: Installation) -> int | None:
    """In minor units; None where it is refused."""
    try:
        return count(of.price(request, TODAY).total, 2)
    except (Refusal, PluginFailure):
        return None


def followed(asked: list[Json], of: Installation) -> float:
    """The share of requests that were priced together, each held against its price alone."""
    found, others = together(tabled(asked), of, partial(of.asked, today=TODAY))
    places = [place for totals in found for place in totals.places.tolist()]
    assert sorted([*places, *others]) == list(range(len(asked)))
    for totals in found:
        assert totals.quantities.tolist() == [asked[place].get("quantity", 1) for place in totals.places.tolist()]
        assert sum(totals.by_module.values(), start=0 * totals.totals).tolist() == totals.totals.tolist()
        for place, amount in zip(totals.places.tolist(), totals.totals.tolist(), strict=True):
            assert amount == total(asked[place], of), asked[place]
    return len(places) / len(asked)


@pytest.fixture
def unchecked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Even two plates are priced together, and nothing is compared, so that what is wrong would be seen."""
    monkeypatch.setattr(many, "FEW", 2)
    monkeypatch.setattr(many, "_confirmed", lambda *_: True)


@pytest.mark.usefixtures("unchecked")
@given(asked=requests(), seed=st.integers(0, 9))
def test_together_and_alone_agree_to_the_cent(asked: Json, seed: int) -> None:
    followed(alike(asked, seed), installation())


@pytest.mark.usefixtures("unchecked")
@pytest.mark.parametrize("family", sorted(installation().families))
@given(data=st.data(), seed=st.integers(0, 9))
def test_in_every_family(family: str, data: st.DataObject, seed: int) -> None:
    plate = data.draw(plates_of(installation().families[family], family, SHOP))
    asked = {"plate": {"family": family, **plate}, "as_of": AS_OF}
    followed(alike(asked, seed, 8), installation())


@pytest.mark.usefixtures("unchecked")
def test_the_examples_of_all_kinds_at_once() -> None:
    kinds = [json.loads(path.read_bytes()) for path in sorted(EXAMPLES.glob("*.json"))]
    priced = [one for one in kinds if "plate" in one and total(one, installation()) is not None]
    assert len(priced) >= 5
    followed([other for one in priced for other in alike(one, 3, 4)], installation())


def catalogue() -> list[Json]:
    return [
        request({"/plate/length": f"{length} mm", "/plate/width": f"{width} mm", "/quantity": quantity})
        for length in range(400, 900, 50)
        for width in range(300, 600, 50)
        for quantity in (1, 2, 5, 20)
    ]


def test_a_catalogue_is_priced_together_almost_whole() -> None:
    assert followed(catalogue(), installation()) > 0.95


def _odd(charges: Any) -> Installation:
    """What is installed, with a module more."""
    whole = installation()
    odd = CostModule(contract=1, stage=Stage.MAKE, place=500, title="Odd", charges=charges)
    return Installation(whole.families, {**whole.modules, "odd": odd}, whole.cards, whole.shops, whole.versions)


RATE = PerPiece(123, 2)


def _by_text(build: Any, *_: Any) -> Iterator[Charge]:
    """Asks the text of a figure, which columns have not."""
    yield Charge("odd", 2 if "7" in f"{build.body.length:.0f}" else 1, RATE)


def _by_type(build: Any, *_: Any) -> Iterator[Charge]:
    """Asks for the type of a figure."""
    yield Charge("odd", 2 if isinstance(build.body.length, float) else 1, RATE)


def _by_float(build: Any, *_: Any) -> Iterator[Charge]:
    """Takes plain numbers alone, and asks a table by a figure."""
    yield Charge("odd", {True: 3}.get(float(build.body.length) > 600, 1), RATE)


def _by_hash(build: Any, *_: Any) -> Iterator[Charge]:
    yield Charge("odd", len({build.body.length, build.body.width}), RATE)


def _failing(build: Any, *_: Any) -> Iterator[Charge]:
    if build.body.length > 600:
        message = "too long for this"
        raise ValueError(message)
    yield Charge("odd", 1, RATE)


@pytest.mark.parametrize("charges", [_by_text, _by_type, _by_float, _by_hash, _failing])
def test_a_plugin_that_cannot_be_followed_makes_it_slower_and_not_wrong(charges: Any) -> None:
    asked = [one for one in catalogue() if one["plate"]["length"] in {"500 mm", "700 mm"}]
    followed(asked, _odd(charges))


def test_a_plugin_with_ordinary_arithmetic_is_followed() -> None:
    def ordinary(build: Any, order: Any, *_: Any) -> Iterator[Charge]:
        if build.body.length > 600 and order.quantity > 4:
            yield Charge("long", build.body.length / 100, RATE)
        yield Charge("every", max(build.body.length, build.body.width) // 7, RATE, per_order=order.quantity % 3)

    assert followed(catalogue(), _odd(ordinary)) > 0.9


def test_what_is_refused_or_said_badly_is_left_for_each_alone() -> None:
    asked: list[Any] = [
        *catalogue()[:40],
        *(request({"/quantity": bad}) for bad in (0, True, "2", 10**6)),
        *(request({"/plate/length": bad}) for bad in ("9 parsecs", 600, "0 mm")),
        *(request({"/plate/length": f"{length} mm", "/plate/material": "cheese"}) for length in range(500, 520)),
        *(request({"/plate/length": f"{length} mm", "/budget": "900 EUR"}) for length in range(500, 520)),
        *(request({"/plate/marking": {"text": f"{length} mm"}}) for length in range(1, 20)),
        7,
        {},
        None,
    ]
    read = partial(installation().asked, today=TODAY)
    found, others = together(tabled(asked), installation(), read)
    assert sum(len(totals.places) for totals in found) >= 30
    assert {*range(40, len(asked))} <= {*others}
    assert together(tabled([]), installation(), read) == ([], [])


def test_orders_that_may_take_too_long_are_left_for_each_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(many, "MOST_DAYS", 15)
    asked = catalogue()
    found, others = together(tabled(asked), installation(), partial(installation().asked, today=TODAY))
    priced = {place for totals in found for place in totals.places.tolist()}
    long = {place for place, one in enumerate(asked) if installation().price(one).lead_time.working_days > 15}
    assert long
    assert long <= {*others}
    assert priced
