"""The stated rules: which unit a bare number takes, what contradicts, and what a family of one's own changes."""

from typing import Annotated, Any

import pytest
from msgspec import Meta
from msgspec.structs import replace

from tallyplate.contract import Family, Length, PlateSpec
from tallyplate.reading.note import read
from tallyplate.reading.statements import Reading
from tests.reading.cases import flat, offer


def found(text: str) -> Reading:
    return read(text, offer())


def field(text: str, pointer: str) -> Any:
    return flat(found(text).request).get(pointer)


def because(text: str, pointer: str) -> str:
    return next(one.because for one in found(text).answers if one.pointer == pointer)


def why(text: str, pointer: str) -> str:
    return next(one.why for one in found(text).unclear if one.pointer == pointer)


def test_a_bare_number_takes_the_unit_of_the_plates_other_lengths_and_says_so() -> None:
    assert field("24 by 16, inch and a half thick", "/plate/length") == "24 in"
    assert because("24 by 16, inch and a half thick", "/plate/length") == "the plate's other lengths are in inches"


def test_the_machines_lengths_lend_no_unit() -> None:
    assert why("24 by 16 plate for a table with 18 mm slots", "/plate/length") == "its unit is not said"


@pytest.mark.parametrize(
    ("text", "pointer"),
    [
        ("plate 24 in x 16 in, 18 T-slots", "/plate/mounting/slot_width"),
        ("plate 600 mm x 400 mm, 0.02 true position", "/plate/position_tolerance"),
        ("plate 24 in x 16 in, flat within .02", "/plate/flatness"),
    ],
)
def test_slots_and_tolerances_borrow_no_unit(text: str, pointer: str) -> None:
    assert why(text, pointer) == "its unit is not said"


def test_an_in_that_may_be_the_preposition_keeps_a_number_out_of_millimetres() -> None:
    assert why("600 mm x 400 mm, thickness 2 in acetal", "/plate/thickness") == "its unit is not said"
    assert field("24 inches x 16 inches, thickness 2 in acetal", "/plate/thickness") == "2 in"
    assert field("600 mm x 400 mm, thickness 2 in. acetal", "/plate/thickness") == "2 in"


def test_a_size_of_something_else_tells_no_unit() -> None:
    assert why("the part is 600 x 400. plate 20 x 16", "/plate/length") == 'may be of something else: "part"'
    assert field("the part is 600 x 400. plate 20 x 16", "/plate/length") is None


def test_lengths_in_both_systems_lend_no_unit() -> None:
    assert why("24 by 16 plate, 40 mm thick, 2 inch pitch", "/plate/length") == "its unit is not said"


def test_a_bare_size_that_stock_holds_in_one_unit_only_takes_that() -> None:
    assert because("600 x 400 x 40", "/plate/length") == "no stock holds a plate of such sizes in inches"
    assert why("60 x 40", "/plate/length") == "its unit is not said"


def test_rules_that_speak_against_each_other_leave_it_open() -> None:
    assert why("600 x 400 plate, inch and a half thick", "/plate/length") == "its unit is not said"
    assert why("600 x 400 x 1.5 in", "/plate/length") == "no stock holds a plate of such a size in inches"


def test_a_choice_of_units_names_both() -> None:
    (open_, *_) = found("24 by 16 plate").unclear
    assert open_.choices == ("24 mm", "24 in")


@pytest.mark.parametrize(
    ("text", "pointer"),
    [
        ("600 mm long, 700 mm long", "/plate/length"),
        ("M12 holes, 1/2-13 holes", "/plate/pattern/screw"),
        ("qty 3, 4 off", "/quantity"),
        ("hard anodised, black oxide", "/plate/finish"),
        ("round plate, tombstone", "/plate/family"),
        ("6061-T6 stock, alloy steel", "/plate/material"),
    ],
)
def test_of_statements_that_contradict_each_other_both_are_reported_and_none_is_taken(text: str, pointer: str) -> None:
    assert field(text, pointer) is None
    assert len([one for one in found(text).unclear if one.pointer == pointer]) == 2


def test_the_same_said_twice_in_other_units_is_no_contradiction() -> None:
    assert field("plate 600 mm long, 60 cm long", "/plate/length") == "600 mm"
    assert found("plate 600 mm long, 60 cm long").unclear == ()


def test_a_general_word_is_settled_by_the_name_beside_it() -> None:
    reading = found("aluminium plate, 600 mm long, made of 6061-T6")
    assert flat(reading.request)["/plate/material"] == "al-6061-t6"
    assert reading.unclear == ()


@pytest.mark.parametrize(
    "said",
    [
        *("not 40 mm thick", "about 40 mm thick", "40 or 50 mm thick", "40 to 50 mm thick", "40 mm thick or so"),
        *("maybe 40 mm thick", "if it were 40 mm thick", "the part is 40 mm thick", "the old one was 40 mm thick"),
        *("40 mm thick part", "the last one, 40 mm thick", "rather than 40 mm thick", "cancel the 40 mm thick one"),
    ],
)
def test_what_is_taken_back_is_not_taken(said: str) -> None:
    assert field(said, "/plate/thickness") is None
    assert why(said, "/plate/thickness")


@pytest.mark.parametrize(
    ("text", "material"),
    [
        ("al-6061-t6", "al-6061-t6"),
        ("AL6061-T6", "al-6061-t6"),
        ("6061", "al-6061-t6"),
        ("6061-T651", None),
        ("EN AW-5083", "al-5083"),
        ("mild steel", "steel-1018"),
        ("4140", "steel-4140"),
        ("cast iron", "iron-grey"),
        ("gray iron", "iron-grey"),
        ("ductile iron", None),
        ("stainless steel", None),
        ("steel", None),
        ("alloy", None),
        ("aluminum", None),
        ("cast aluminum", "al-cast"),
        ("tooling plate", None),
        ("acetal", "acetal"),
        ("PO 4140", None),
        ("hard metal", None),
    ],
)
def test_a_material_is_read_where_one_on_offer_is_called_so_and_nothing_else_is(
    text: str, material: str | None
) -> None:
    assert field(text, "/plate/material") == material


class Slab(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="slab", kw_only=True):
    length: Annotated[Length, Meta(title="Length")]
    width: Annotated[Length, Meta(title="Width")]
    lip: Annotated[Length, Meta(title="Lip")]


def slab(title: str) -> Family:
    return replace(offer().families["round"], title=title, spec=Slab)


def test_a_family_of_ones_own_with_the_same_sizes_leaves_the_family_open() -> None:
    families = {**offer().families, "slab": slab("Lipped slab")}
    request = read("600 x 400 mm, 5083", replace(offer(), families=families)).request
    assert request == {"plate": {"length": "600 mm", "width": "400 mm", "material": "al-5083"}}


def test_a_family_of_ones_own_is_read_by_its_title() -> None:
    families = {**offer().families, "slab": slab("Lipped slab")}
    request = read("a lipped slab, 600 x 400 mm", replace(offer(), families=families)).request
    assert request == {"plate": {"family": "slab", "length": "600 mm", "width": "400 mm"}}


@pytest.mark.parametrize("title", ["Plate", "Fixture plate", "(?)", "{plate}"])
def test_a_title_that_says_nothing_names_no_family(title: str) -> None:
    families = {**offer().families, "slab": slab(title)}
    request = read("fixture plate, length as usual, qty 2", replace(offer(), families=families)).request
    assert request == {"plate": {}, "quantity": 2}


def test_without_families_nothing_of_a_plate_is_certain() -> None:
    assert read("600 x 400 mm, qty 2", replace(offer(), families={})).request["quantity"] == 2
