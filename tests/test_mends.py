"""Trying mends: which candidate is taken, how values are written, and what a changed request is."""

from itertools import count
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.contract import Family
from tallyplate.findings import Case, Change, Finding, Severity
from tallyplate.findings.mends import PROPOSALS, AtLeast, AtMost
from tallyplate.findings.mends.proposal import one
from tallyplate.inquiry import read
from tallyplate.installation import Installation
from tallyplate.mends import MOST_TRIES, applied, mended, written
from tallyplate.pricing import PluginFailure
from tallyplate.units import length
from tests.plates import built, findings, installation, request

ASKED: dict[str, Any] = request()["plate"]
CASE = Case(built(), installation().shops[0])
TIGHT = Finding("too-tight", Severity.ERROR, "/plate/position_tolerance", "", "")
THIN = Finding("thin-edge", Severity.ERROR, "/plate/pattern", "", "")
WIDE = Finding("heavy", Severity.CAUTION, "/plate/thickness", "", "")


def test_nothing_is_tried_where_nothing_was_found() -> None:
    assert mended((), ASKED, CASE, _never) == ()


def _never(plate: dict[str, Any]) -> tuple[Finding, ...]:
    raise AssertionError(plate)


def test_what_has_no_candidates_is_left_as_it_is() -> None:
    note = Finding("given-up", Severity.NOTE, "/plate/pattern", "", "")
    assert mended((note,), ASKED, CASE, _never) == (note,)


@pytest.mark.parametrize("after", [(TIGHT,), (THIN,), None], ids=["still found", "another error", "refused"])
def test_a_candidate_that_does_not_mend_or_adds_an_error_is_not_proposed(after: tuple[Finding, ...] | None) -> None:
    assert mended((TIGHT,), ASKED, CASE, lambda plate: after) == (TIGHT,)


def test_an_error_that_was_there_before_does_not_stand_in_the_way() -> None:
    tight, thin = mended((TIGHT, THIN), ASKED, CASE, lambda plate: (THIN,))
    assert tight.mend
    assert tight.mend.changes == (Change("/plate/position_tolerance", "0.01 mm"),)
    assert not thin.mend


def test_a_candidate_that_adds_no_caution_comes_before_one_that_does() -> None:
    tried: list[Any] = []

    def trying(plate: dict[str, Any]) -> tuple[Finding, ...]:
        tried.append(plate)
        return (WIDE,) if len(tried) == 1 else ()

    (thin,) = mended((THIN,), ASKED, CASE, trying)
    assert thin.mend
    assert applied({"plate": ASKED}, thin.mend.changes) == {"plate": tried[1]}


def test_an_error_is_mended_at_the_price_of_a_caution_and_a_caution_is_not() -> None:
    loose = Finding("outgrows-tolerance", Severity.CAUTION, "/plate/position_tolerance", "", "")
    (tight,) = mended((TIGHT,), ASKED, CASE, lambda plate: (WIDE,))
    assert tight.mend
    assert mended((loose,), ASKED, CASE, lambda plate: (WIDE,)) == (loose,)


def test_tries_are_bounded_and_findings_of_one_field_share_them(monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[Any] = []
    endless = (one("make it {0}", "/plate/length", f"{size} mm") for size in count(1))
    monkeypatch.setitem(PROPOSALS, THIN.code, lambda case, finding: endless)
    mended((THIN, replace(THIN, message="once more")), ASKED, CASE, tried.append)
    assert [plate["length"] for plate in tried] == [f"{size} mm" for size in range(1, MOST_TRIES + 1)]


WRITTEN = [
    (AtLeast(28.0), "mm", "28 mm"), (AtLeast(28.01), "mm", "28.5 mm"), (AtMost(28.49), "mm", "28 mm"),
    (AtLeast(25.4), "in", "1 in"), (AtLeast(25.41), "in", "1.02 in"), (AtMost(25.39), "in", "0.98 in"),
    (AtLeast(0.03541), "mm", "0.036 mm"), (AtLeast(0.0254), "in", "0.001 in"), (AtLeast(0.02541), "in", "0.0011 in"),
    ("M16", "mm", "M16"), (True, "in", True), (None, "mm", None),
]  # fmt: skip


@pytest.mark.parametrize(("wanted", "unit", "text"), WRITTEN, ids=repr)
def test_a_length_is_rounded_to_the_safe_side_in_the_callers_unit(wanted: Any, unit: str, text: object) -> None:
    assert written(wanted, unit) == text


@given(st.floats(0.001, 5000), st.sampled_from(["mm", "in"]))
def test_what_is_written_is_at_least_or_at_most_what_was_wanted(mm: float, unit: str) -> None:
    least, most = written(AtLeast(mm), unit), written(AtMost(mm), unit)
    assert isinstance(least, str)
    assert isinstance(most, str)
    slack = 1e-5
    assert mm - slack <= length(least) <= mm + 0.51
    assert most.startswith("0 ") or mm - 0.51 <= length(most) <= mm + slack


def test_changes_set_fields_make_their_parents_take_fields_out_and_reach_into_lists() -> None:
    before = {"plate": {"length": "1 m", "finish": "plain", "circles": [{"count": 1}, {"count": 2}]}}
    changes = (
        Change("/plate/length", "2 m"),
        Change("/plate/mounting/screw", "M16"),
        Change("/plate/finish", None),
        Change("/plate/marking", None),
        Change("/plate/circles/1/count", 3),
    )
    after = {"length": "2 m", "mounting": {"screw": "M16"}, "circles": [{"count": 1}, {"count": 3}]}
    assert applied(before, changes) == {"plate": after}
    assert before["plate"]["length"] == "1 m", "a copy is changed"


def test_a_plate_in_inches_is_mended_in_inches() -> None:
    inches = {"/plate/length": "70 in", "/plate/width": "16 in", "/plate/thickness": "1.9 in"}
    mend: Any = findings(inches)["beyond-travel"]["mend"]
    assert mend["changes"] == [{"pointer": "/plate/length", "value": "62.98 in"}]
    assert mend["words"] == "make the length 62.98 in"


def test_a_family_that_fails_at_a_mend_is_named() -> None:
    here = installation()
    rectangular = here.families["rectangular"]

    def fragile(spec: Any, *rest: Any) -> Any:
        if spec.thickness > 27:
            message = "too stout"
            raise ValueError(message)
        return rectangular.build(spec, *rest)

    families = {"rectangular": replace(rectangular, build=fragile)}
    fragile_here = Installation(_typed(families), here.modules, here.cards, here.shops, here.versions)
    thin = request({"/plate/thickness": "20 mm"})
    assert read(thin, families).family == "rectangular"
    with pytest.raises(PluginFailure, match="family 'rectangular' failed: ValueError: too stout"):
        fragile_here.price(thin)


def _typed(families: Any) -> dict[str, Family]:
    return dict(families)
