"""Every mend that is proposed mends: applied to the request, it removes its finding and adds no error."""

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tallyplate.findings
from tallyplate.contract import Refusal
from tallyplate.findings import Finding, Severity
from tallyplate.findings.mends import PROPOSALS
from tallyplate.mends import applied
from tests.plates import installation, request
from tests.strategies import AS_OF, SHOP, Json, given_fields, one_of, plates

FREE: dict[str, Any] = {"surface": "none"}
SLOTS: dict[str, Any] = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}
STEEL: dict[str, Any] = {"/plate/material": "steel-1018", "/plate/finish": "plain"}
GRID: dict[str, Any] = {"surface": "tapped_grid", "grid_pitch": "100 mm", "locate": "none", "screw": "M10"}
BLOCK: dict[str, Any] = {"family": "tombstone", "faces": 4, "face_width": "400 mm", "height": "600 mm"}

MENDED: dict[str, dict[str, Any]] = {
    "thin-wall": {"/plate/pattern/pitch": "20 mm"},
    "thin-edge": {"/plate/pattern/margin": "12 mm"},
    "short-thread": {"/plate/thickness": "20 mm"},
    "no-floor": {"/plate/thickness": "12 mm"},
    "thread-strips": {"/plate/thickness": "30 mm"},
    "beyond-travel": {"/plate/length": "2 m"},
    "beyond-load": {**STEEL, "/plate/length": "1600 mm", "/plate/width": "1190 mm", "/plate/thickness": "99 mm"},
    "unknown-slot": {"/plate/mounting": {**SLOTS, "slot_width": "17 mm"}},
    "slot-screw": {"/plate/mounting": {**SLOTS, "screw": "M12"}},
    "unknown-spacing": {"/plate/mounting": {**SLOTS, "slot_spacing": "110 mm"}},
    "over-constrained": {"/plate/mounting": {**SLOTS, "locate": "retractable_pins"}},
    "unplaced-seat": {
        "/plate/length": "110 mm", "/plate/width": "250 mm", "/plate/pattern/margin": "30 mm",
        "/plate/mounting": {**SLOTS, "locate": "keys"},
    },
    "single-screw": {
        "/plate/length": "80 mm", "/plate/width": "80 mm", "/plate/pattern": {"margin": "20 mm", "screw": "M10"},
        "/plate/mounting": GRID,
    },
    "overhang": {"/plate/mounting": {"surface": "t_slots", "slot_width": "0.688 in", "slot_spacing": "209 mm"}},
    "too-tight": {"/plate/position_tolerance": "0.002 mm"},
    "outgrows-tolerance": {"/plate/position_tolerance": "0.012 mm"},
    "finish-material": {**STEEL, "/plate/finish": "anodized"},
    "heavy": {"/plate/length": "400 mm", "/plate/width": "350 mm", "/plate/thickness": "70 mm"},
    "lifting-rating": {"/plate": {**BLOCK, "material": "al-6061-t6", "lifting_screw": "M10"}},
    "over-budget": {"/budget": "100 USD"},
    "late": {"/need_by": "2026-03-03"},
    "rush-saves-nothing": {"/services": {"rush": True}, "/quantity": 5000},
    "nothing-to-match": {"/services": {"matched": True}, "/quantity": 1},
}  # fmt: skip
"""A typical case of each code that can be mended."""

MENDED_ELSEWHERE = {"seat-wall": "in the demonstration holes give way to seats: test_seats.py has a shop whose stay"}

NOT_MENDED = {
    "feature-wall": "where the customer's pockets and cut-outs lie is the customer's to say",
    "thin-floor": "how deep they are, likewise",
    "loose-piece": "what shall be cut off, likewise",
    "in-kept-area": "what shall be kept free, likewise",
    "handles-rating": "a caution to lift by other gear",
    "nothing-to-rework": "what is to be done is the customer's to say",
    "old-holes": "what the plate has already is the customer's to say",
    "supplied-material": "a note: what the customer has to send",
    "text-too-long": "a text is the customer's to shorten",
    "given-up": "a note: positions make way so that the plate can be held",
    "rows-off-table": "a note: the table is as it is, and the pattern as the work wants it",
    "marked-by-zone": "a note: how the zones are told apart",
    "lines-between-holes": "a note: the table is as it is, and the pattern as the work wants it",
    "lifted-by": "a note on what is right",
}


def findings(asked: Json) -> tuple[Finding, ...]:
    return installation().price(asked).findings


def errors(asked: Json) -> set[tuple[str, str]]:
    return {finding.key for finding in findings(asked) if finding.severity is Severity.ERROR}


def assert_mended(asked: Json, finding: Finding) -> None:
    """What a mend promises, tried with a price of its own."""
    assert finding.mend
    then = applied(asked, finding.mend.changes)
    assert finding.key not in {other.key for other in findings(then)}, finding
    assert errors(then) <= errors(asked), finding


@pytest.mark.parametrize(("code", "changes"), MENDED.items(), ids=MENDED)
def test_a_typical_case_comes_with_a_mend_in_words(code: str, changes: dict[str, Any]) -> None:
    asked = request(changes)
    found = [finding for finding in findings(asked) if finding.code == code]
    assert found
    for finding in found:
        assert finding.mend, finding
        assert re.fullmatch(r"[a-z][^{}]+", finding.mend.words)
        assert_mended(asked, finding)


def test_a_plate_that_exists_is_not_made_another() -> None:
    plate = {"length": "600 mm", "width": "400 mm", "thickness": "40 mm", "material": "al-6061-t6"}
    done: list[Json] = [{"bushings": [{"screw": "M12", "count": 8}]}, {"pattern": {"pitch": "20 mm", "screw": "M12"}}]
    replaced, crowded = (
        {
            one.code: one.mend
            for one in findings({"plate": {"family": "rework", **plate, **what}, "as_of": "2026-03-02"})
        }
        for what in done
    )
    assert not replaced["heavy"]
    assert not crowded["heavy"]
    assert crowded["thin-wall"]
    assert [change.pointer for change in crowded["thin-wall"].changes] == ["/plate/pattern/pitch"]


def test_a_plate_too_thin_for_all_that_stands_in_it_is_made_thick_enough_at_once() -> None:
    # A bushing for M12 is 16 mm long, and its thread is at least 12 mm; a plate of 12 mm has cut both short.
    errors_of_depth = [
        finding for finding in findings(request({"/plate/thickness": "12 mm"})) if finding.severity is Severity.ERROR
    ]
    assert {finding.code for finding in errors_of_depth} == {"short-thread", "no-floor"}
    assert {finding.mend.words for finding in errors_of_depth if finding.mend} == {"make the thickness 28 mm"}


def test_every_code_is_mended_or_it_is_told_why_not() -> None:
    folder = Path(tallyplate.findings.__file__).parent
    codes = {code for file in folder.glob("*.py") for code in re.findall(r'Finding\(\s*"([a-z-]+)"', file.read_text())}
    assert codes == {*MENDED, *MENDED_ELSEWHERE, *NOT_MENDED}
    assert not {*MENDED} & {*NOT_MENDED}
    assert {*PROPOSALS} | {"over-budget", "late", "rush-saves-nothing", "nothing-to-match"} == {
        *MENDED,
        *MENDED_ELSEWHERE,
    }


@st.composite
def discs(draw: st.DrawFn) -> Json:
    """A round plate, its holes and bolt circles not always where they fit."""
    millimetres = one_of(draw, 300, 150, 200, 400, 600, 850)
    circles = st.fixed_dictionaries(
        {
            "diameter": st.sampled_from([40, 60, 120, millimetres - 60, millimetres - 20]).map("{} mm".format),
            "count": st.sampled_from([4, 1, 12, 24]),
            "screw": st.sampled_from(["M10", "M16"]),
            "kind": st.sampled_from(["tapped", "holding"]),
        }
    )
    pattern = {
        "screw": one_of(draw, None, "M10", "M12"),
        "pitch": one_of(draw, None, "20 mm", "50 mm"),
        "margin": one_of(draw, None, "12 mm"),
    }
    return given_fields(
        {
            "family": "round",
            "diameter": f"{millimetres} mm",
            "thickness": one_of(draw, None, "12 mm", "25 mm", "60 mm"),
            "material": one_of(draw, *SHOP.materials),
            "centre_bore": one_of(draw, None, "50 mm", "100 mm"),
            "pattern": given_fields(pattern),
            "bolt_circles": draw(st.lists(circles, max_size=2)),
            "finish": one_of(draw, None, "anodized"),
        }
    )


@st.composite
def blocks(draw: st.DrawFn) -> Json:
    """A tombstone, solid or hollow, its faces not always wide enough."""
    hollow = one_of(draw, None, True)
    return given_fields(
        {
            "family": "tombstone",
            "faces": one_of(draw, 4, 2, 3, 6),
            "face_width": one_of(draw, "250 mm", "100 mm", "400 mm"),
            "height": one_of(draw, "450 mm", "150 mm", "900 mm"),
            "material": one_of(draw, *SHOP.materials),
            "hollow": hollow,
            "wall": hollow and one_of(draw, None, "20 mm"),
            "pattern": {"screw": one_of(draw, "M12", "M10"), "pitch": one_of(draw, "50 mm", "20 mm")},
            "lifting_screw": one_of(draw, None, "M10"),
        }
    )


@settings(max_examples=200)
@given(plates() | discs() | blocks())
def test_every_mend_of_any_plate_removes_its_finding_and_adds_no_error(plate: Json) -> None:
    asked = {"plate": plate, "as_of": AS_OF}
    try:
        found = findings(asked)
    except Refusal:
        return
    for finding in {finding.key: finding for finding in found if finding.mend}.values():
        assert_mended(asked, finding)
