"""Figures that are read and yet meant otherwise: below nothing, a percentage without its sign, a name that is none."""

from enum import Enum

import pytest
from msgspec import Struct

from tallyplate.contract import Kilograms, Length, PerHour, Ratio, Seconds, Share, Sum
from tallyplate.contract.figures import Percentage
from tallyplate.decoding import length_hook
from tallyplate.rates.files import DataError, written
from tallyplate.rates.inherit import resolve
from tallyplate.rates.sections import money_hook, read_sections
from tallyplate.units import UnitError


@pytest.mark.parametrize(
    ("kind", "text", "accepted"),
    [
        (PerHour, "-96 USD/h", "0 USD/h or more"),
        (PerHour, "- 96 USD/h", "0 USD/h or more"),
        (PerHour, "\u221296 USD/h", "0 USD/h or more"),
        (PerHour, "-.5 USD/h", "0 USD/h or more"),
        (Share, "-14 %", "0 % or more"),
        (Percentage, "-14 %", "0 % or more"),
        (Sum, "-450 USD", "0 USD or more"),
        (Seconds, "-0.4 s", "0 s or more"),
        (Kilograms, "-1 kg", "more than 0 kg"),
        (Length, "-1/2 in", "more than 0 mm"),
    ],
)
def test_a_figure_below_nothing_is_called_negative(kind: type, text: str, accepted: str) -> None:
    with pytest.raises(UnitError) as refused:
        money_hook("USD")(kind, text)
    assert str(refused.value) == f"{text!r} is negative; accepted: {accepted}"


@pytest.mark.parametrize("text", ["-", "-x USD/h", "--1 USD/h"])
def test_a_dash_without_a_number_is_no_figure_rather_than_a_negative_one(text: str) -> None:
    with pytest.raises(UnitError, match="is not a figure; write a number and a unit"):
        money_hook("USD")(PerHour, text)


@pytest.mark.parametrize("kind", [Share, Percentage])
@pytest.mark.parametrize(
    ("text", "has"), [("14", "no unit"), ("0.14", "no unit"), ("14 rev", "the unit rev"), ("1 m/m", "the unit m/m")]
)
def test_what_is_said_in_percent_is_written_so(kind: type, text: str, has: str) -> None:
    with pytest.raises(UnitError) as refused:
        money_hook("USD")(kind, text)
    assert str(refused.value) == f'{text!r} has {has}; write a percentage, such as "14 %"'


@pytest.mark.parametrize(("kind", "text", "is_"), [(Percentage, "14 %", 0.14), (Ratio, "2", 2), (Ratio, "15 %", 0.15)])
def test_a_percentage_and_a_plain_ratio_are_read(kind: type, text: str, is_: float) -> None:
    assert money_hook("USD")(kind, text) == pytest.approx(is_)


class Colour(Enum):
    """Colours of a third party's module."""

    RED = "red"
    BLUE = "blue"


class Paint(Struct, frozen=True):
    """Where a section states a choice: by itself, in a list and in a table."""

    first: Colour
    coats: tuple[Colour, ...]
    inside: dict[str, Colour]
    last: Colour


class Head(Struct, frozen=True):
    """A head that states a name."""

    id: str


def test_a_choice_that_is_none_is_told_with_those_that_are() -> None:
    paint = '[paint]\nfirst = "rde"\ncoats = ["red", "blu"]\ninside = { a = "green" }\n'
    resolved, _ = resolve({"a": written("cards/card.toml", f'id = "a"\n{paint}'.encode())})
    with pytest.raises(DataError) as refused:
        read_sections(resolved["a"], Head, {"paint": Paint}, length_hook)
    assert refused.value.problems == (
        "cards/card.toml:3: paint.first: 'rde' is not accepted; accepted: red, blue",
        "cards/card.toml:4: paint.coats.1: 'blu' is not accepted; accepted: red, blue",
        "cards/card.toml:5: paint.inside.a: 'green' is not accepted; accepted: red, blue",
        "cards/card.toml:2: paint.last: is required and missing",
    )
