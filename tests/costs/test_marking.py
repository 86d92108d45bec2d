"""Engraving: a start on each side and a time for each character."""

from msgspec.structs import replace

from tallyplate.contract import Marks, Seconds
from tallyplate_plugins.costs.marking import MODULE, Figures
from tests.costs.plain import BUILD, said, seconds, shop

SHOP = shop(Figures(character=Seconds(4), side=Seconds(30)))


def test_each_side_is_started_once_and_engraved_by_the_character() -> None:
    build = replace(BUILD, marks=(Marks("left", 7), Marks("bottom", 12)))
    assert seconds(said(MODULE, build, SHOP)) == [
        ("engraving left side", "mill", 30 + 28, 0),
        ("engraving bottom side", "mill", 30 + 48, 0),
    ]


def test_a_text_is_engraved_as_coordinates_are_and_called_what_it_is() -> None:
    build = replace(BUILD, marks=(Marks("left", 7), Marks("face 1 top", 10, "PART NO 42 B")))
    left, text = said(MODULE, build, SHOP)
    assert seconds([left, text]) == [
        ("engraving left side", "mill", 30 + 28, 0),
        ("engraving text on face 1 top side", "mill", 30 + 40, 0),
    ]


def test_a_plate_without_marks_costs_no_engraving() -> None:
    assert said(MODULE, BUILD, SHOP) == []
