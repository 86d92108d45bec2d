"""Matched plates of a set: measured as a set on a line of their own, and told where they are unlike."""

from typing import Any

import pytest

from tallyplate.findings import Finding, Severity
from tests.plates import installation
from tests.sets.orders import answered, entry

MATCHED = {"matched": True}
ROUND: dict[str, Any] = {"plate": {"family": "round", "diameter": "300 mm", "material": "al-6061-t6"}}


def _unmatched(*entries: Any, **services: Any) -> list[Finding]:
    return [one for one in answered(*entries, services=services or MATCHED).findings if one.code == "unmatched"]


def test_each_plate_has_a_line_for_being_measured_against_the_others() -> None:
    answer = answered(entry(2), entry(length="24 in"), services=MATCHED)
    for plate in answer.plates:
        (line,) = [line for line in plate.lines if line.module == "matching"]
        assert (line.item, line.work_center) == ("measuring from the common datum", "inspection")
    assert answer.findings == ()


def test_plates_of_other_sizes_metals_and_mountings_are_matched_where_their_patterns_are_alike() -> None:
    free = {"surface": "none"}
    assert _unmatched(entry(), entry(length="24 in", thickness="30 mm", mounting=free)) == []


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"pattern": {"pitch": "40 mm"}}, "pitch 40 x 40 mm against 25.4 x 25.4 mm"),
        ({"pattern": {"screw": "M12"}}, "holes combination M12, tapped M12 against"),
        ({"pattern": {"arrangement": "combination"}}, "holes combination 1/2-13 against"),
        ({"pattern": {"bushings": False}}, "diameters "),
        ({"position_tolerance": "0.02 mm"}, "position tolerance 0.02 mm against 0.05 mm"),
    ],
)
def test_a_plate_that_is_unlike_the_first_is_told_in_what(changes: dict[str, Any], says: str) -> None:
    (found,) = _unmatched(entry(), entry(length="24 in"), entry(**changes))
    assert (found.severity, found.pointer) == (Severity.ERROR, "/plates/2/plate")
    assert found.message.startswith("cannot be matched with /plates/0: ")
    assert says in found.message
    assert _unmatched(entry(), entry(**changes), rush=True) == []


def test_bolt_circles_are_matched_where_they_lie_alike() -> None:
    def circle(diameter: str) -> dict[str, Any]:
        made = {"diameter": diameter, "count": 4, "screw": "M10", "kind": "tapped"}
        return {"plate": {**ROUND["plate"], "bolt_circles": [made], "pattern": {"screw": "M12", "pitch": "50 mm"}}}

    assert _unmatched(circle("200 mm"), circle("200 mm")) == []
    (found,) = _unmatched(circle("200 mm"), circle("180 mm"))
    assert "pitch" in found.message


def test_one_plate_alone_has_none_to_be_matched_with() -> None:
    here = installation()
    asked = {**entry(), "as_of": "2026-03-02", "services": MATCHED}
    assert [one.code for one in here.price(asked).findings if one.pointer == "/services/matched"] == [
        "nothing-to-match"
    ]
    assert not [one for one in here.price({**asked, "quantity": 2}).findings if one.pointer == "/services/matched"]
    assert [one.code for one in answered(entry(), services=MATCHED).findings] == ["nothing-to-match"]
    assert answered(entry(), entry(), services=MATCHED).findings == ()
