"""What a plugin is tried on, and when a check lets it be."""

from typing import Annotated, Any

import pytest
from msgspec import Meta

from tallyplate.contract import Build, Length, PlateSpec, ShopData, Usual
from tallyplate.testkit import families
from tallyplate.testkit.check import State, Verdict, verdict
from tests.plates import installation
from tests.testkit import wrong_families, wrong_modules
from tests.testkit.wrong import checks, trial

PLATE = {"family": "tray", "length": "310 mm", "width": "210 mm", "material": "steel-1018"}


class Slab(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="tray", kw_only=True):
    """A plate without a pattern to choose."""

    length: Annotated[Length, Meta(title="Length", examples=["300 mm"])]
    width: Annotated[Length, Meta(title="Width", examples=["200 mm"])]


def build_slab(spec: Any, shop: ShopData, usual: Usual) -> Build:
    common = {name: getattr(spec, name) for name in PlateSpec.__struct_fields__}
    return wrong_families.build(wrong_families.Tray(length=spec.length, width=spec.width, **common), shop, usual)


def said(check: str, plugin: Any, name: str, *examples: dict[str, Any]) -> Verdict:
    return verdict(checks(plugin), check, trial(plugin, name, examples))


def test_an_authors_plates_are_tried_too_and_may_leave_the_family_out() -> None:
    on = trial(wrong_families.RIGHT, "tray", ({**PLATE, "length": "320 mm"}, {**PLATE, "family": "tray"}))
    asked = [question.label for question in on.questions]
    assert any('"length": "320 mm"' in label for label in asked)
    assert all(label.startswith('{"family": "tray"') for label in asked)


def test_an_authors_plate_may_not_be_refused() -> None:
    refused = said("examples", wrong_families.RIGHT, "tray", {**PLATE, "material": "cheese"})
    assert refused.state is State.BROKEN
    assert '"material": "cheese"} is refused: /plate/material: ' in refused.message


def test_an_authors_plate_must_come_without_an_error() -> None:
    close = {**PLATE, "pattern": {"pitch": "14 mm", "screw": "M12"}}
    assert "cannot be made: /plate/pattern" in said("examples", wrong_families.RIGHT, "tray", close).message


def test_a_cost_module_is_tried_on_its_authors_plates() -> None:
    circles = {"family": "round", "diameter": "300 mm", "material": "acetal", "bolt_circles": []}
    on = trial(wrong_modules.RIGHT, "nameplates", (circles,))
    assert '"bolt_circles": []' in on.questions[0].label
    assert len(on.questions) > len(installation().families)


def test_a_family_without_a_pitch_is_let_be_and_told_why() -> None:
    slab = wrong_families.family(build_slab, Slab)
    for check in ("work_of_holes", "more_holes_never_cheaper"):
        exempt = said(check, slab, "tray")
        assert exempt.state is State.EXEMPT
        assert "no field `pattern`" in exempt.message


def test_a_plugin_that_no_module_holds_is_let_be_and_told_what_to_do() -> None:
    exempt = said("says_the_same_elsewhere", wrong_families.family(), "tray")
    assert exempt.state is State.EXEMPT
    assert exempt.message.endswith("name its entry point instead")


def test_a_check_waits_for_those_that_it_builds_on() -> None:
    on = trial(wrong_families.WRONG["saws the blank short"].plugin, "tray")
    waits = verdict(families.CHECKS, "tighter_never_cheaper", on)
    assert waits == Verdict(State.WAITS, "waits for the check 'priced' to be kept")


@pytest.mark.parametrize("check", [check.name for check in families.CHECKS if check.name.endswith("never_cheaper")])
def test_every_law_of_plates_waits_until_plates_are_priced(check: str) -> None:
    (law,) = [one for one in families.CHECKS if one.name == check]
    assert law.after == ("priced",)
