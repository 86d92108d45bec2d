"""Holes and key seats: what comes too near is told with a mend in a shop whose holes stay, and gives way in another."""

from typing import Any

import pytest

from tallyplate.findings import Finding
from tallyplate.installation import Installation, compose
from tallyplate.mends import applied
from tests.plates import DATA, installation, request

SLOTS: dict[str, Any] = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}
KEYED: dict[str, Any] = {"/plate/mounting": {**SLOTS, "locate": "keys"}}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Installation:
    """The demonstration, with holes that stay where they come near a seat."""
    folder = tmp_path_factory.mktemp("kept")
    for part in ("rate_cards", "shop_data"):
        (folder / part).mkdir()
        for file in (DATA / part).glob("*.toml"):
            text = file.read_text()
            (folder / part / file.name).write_text(text.replace('seats = "cleared"\n', ""))
    return compose(installation().families, installation().modules, folder)


def _found(here: Installation, changes: dict[str, Any], code: str) -> list[Finding]:
    return [one for one in here.price(request(changes)).findings if one.code == code]


def test_holes_that_open_into_a_seat_are_named_with_the_least_wall(kept: Installation) -> None:
    # The seats lie 55.25 mm from either end and 25 mm up. B1 and R1 are 70 mm from the ends and 35 mm up: 1 mm above
    # the seat's edge, less half of 10.3 mm, is 4.15 mm within it.
    (one,) = _found(kept, KEYED, "seat-wall")
    assert (one.severity.value, one.pointer) == ("caution", "/plate/mounting/locate")
    assert "2 holes open into the key seats in the underside: B1 (tapped), R1 (tapped)" in one.message
    assert "-4.15 mm, and at least 2.5 mm stay solid" in one.message
    assert "must not be driven so deep that it meets one" in one.message


def test_a_plate_located_by_pins_mends_it(kept: Installation) -> None:
    (one,) = _found(kept, KEYED, "seat-wall")
    assert one.mend
    then = kept.price(applied(request(KEYED), one.mend.changes))
    assert one.code not in {other.code for other in then.findings}


def test_in_the_demonstration_holes_give_way_instead(kept: Installation) -> None:
    here = installation()
    assert not _found(here, KEYED, "seat-wall")
    before, (after,) = _found(kept, KEYED, "given-up"), _found(here, KEYED, "given-up")
    assert "B1 (tapped)" in after.message
    assert "B1 (tapped)" not in before[0].message


@pytest.mark.parametrize(("pitch", "near"), [("35 mm", True), ("200 mm", False)])
def test_a_pattern_that_stays_clear_of_the_seats_is_not_told(kept: Installation, pitch: str, *, near: bool) -> None:
    changes = KEYED | {"/plate/pattern/pitch": pitch, "/plate/pattern/margin": "100 mm" if not near else "35 mm"}
    assert bool(_found(kept, changes, "seat-wall")) is near


def test_seats_without_a_place_are_told(kept: Installation) -> None:
    small = KEYED | {"/plate/length": "110 mm", "/plate/width": "250 mm", "/plate/pattern/margin": "30 mm"}
    (one,) = _found(kept, small, "unplaced-seat")
    assert "no slot of the table has room for 2 key seats of 54 mm" in one.message
    assert not _found(kept, KEYED, "unplaced-seat")
    assert not _found(kept, {"/plate/mounting": {**SLOTS, "locate": "pins"}}, "unplaced-seat")
