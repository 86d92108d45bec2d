"""The form is drawn from what is on offer: a stranger's family appears, usable, with no change to the page."""

import os
from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Page, expect

from tests.desk.browsing import becomes, opened, priced, text
from tests.serving import serving

SLED = '''
"""A sled: a rectangular plate on runners. An invented firm's."""

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract import CONTRACT, Family, Length, PlateSpec
from tallyplate_plugins.families import rectangular


EXAMPLE = {"count": 2, "apart": "200 mm"}


class Runners(Struct, frozen=True, forbid_unknown_fields=True):
    """What it stands on."""

    count: Annotated[int, Meta(title="Runners", ge=2, le=8)]
    apart: Annotated[Length, Meta(title="Runners apart")]


class Sled(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="sled", kw_only=True):
    """A plate on runners."""

    length: Annotated[Length, Meta(title="Length", examples=["500 mm"])]
    width: Annotated[Length, Meta(title="Width", examples=["300 mm"])]
    runners: Annotated[Runners, Meta(title="Runners below", examples=[EXAMPLE])] | UnsetType = UNSET
    bows: Annotated[Literal["round", "square"], Meta(title="Bows")] | UnsetType = UNSET
    tags: Annotated[list[Literal["fore", "aft"]], Meta(title="Tagged ends", max_length=2)] | UnsetType = UNSET


def build(spec, shop, usual):
    usual("/plate/bows", spec.bows, "square", "as most are")
    plate = rectangular.Rectangular(material=spec.material, finish=spec.finish, length=spec.length, width=spec.width)
    return rectangular.build(plate, shop, usual)


FAMILY = Family(contract=CONTRACT, title="Sled on runners", spec=Sled, build=build)
'''


@pytest.fixture(scope="module")
def sleds(tmp_path_factory: pytest.TempPathFactory, options: list[str]) -> Iterator[str]:
    """A service beside whose families a stranger's is installed."""
    folder = tmp_path_factory.mktemp("sleds")
    (folder / "sleds.py").write_text(SLED)
    about = folder / "sleds-1.0.dist-info"
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: sleds\nVersion: 1.0\n")
    (about / "entry_points.txt").write_text("[tallyplate.families]\nsled = sleds:FAMILY\n")
    with ExitStack() as stack:
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("PYTHONPATH", os.pathsep.join(filter(None, [str(folder), os.environ.get("PYTHONPATH")])))
            url = stack.enter_context(serving(options=options))
        yield url


def test_a_strangers_family_is_asked_for_in_the_talk(page: Page, sleds: str) -> None:
    opened(page, sleds)
    page.locator("#typed").fill("sled")
    page.keyboard.press("Enter")
    becomes(page, "#said", "Sled on runners")
    becomes(page, "#each", "supposing")


def test_a_strangers_family_has_a_form_with_a_control_for_every_kind_of_field(page: Page, sleds: str) -> None:
    opened(page, sleds, **{"/plate/family": "sled"}, pane="form")
    page.locator("#f-plate-material").select_option(label="Aluminium 5083")
    page.locator("#f-plate-length").fill("9000")
    becomes(page, "#f-plate-length-wrong", "9000 x")
    page.locator("#f-plate-length").fill("500")
    page.locator("#f-plate-width").fill("12 in")
    priced(page)
    becomes(page, "#f-plate-bows-says", "assumed square: as most are")
    page.locator("#f-plate-bows").select_option(label="round")
    page.locator("#f-plate-runners-count").fill("3")
    page.locator("#f-plate-runners-apart").fill("120")
    page.get_by_label("fore").check()
    expect(page.locator(".wrong:visible")).to_have_count(0)
    page.get_by_role("tab", name="Questions").click()
    for said in ("round", "120 mm", "fore", "500 mm"):
        becomes(page, "#said", said)
    expect(page.locator("#view-plate .body")).to_have_attribute("width", "500")


def test_every_family_on_offer_is_priced_from_its_form_with_what_it_needs(page: Page, url: str) -> None:
    opened(page, url, **{"/plate/family": "round"}, pane="form")
    page.locator("#f-plate-material").select_option(label="Mild steel 1018")
    page.locator("#f-plate-diameter").fill("400")
    becomes(page, "#each", "One plate")
    expect(page.locator("#each")).not_to_contain_text("supposing")
    page.get_by_role("button", name="Add: bolt circles").click()
    circle = page.locator(".item")
    circle.get_by_label("Bolt circle diameter").fill("300")
    circle.get_by_label("Holes").fill("6")
    circle.get_by_label("Screw").fill("M12")
    expect(page.locator("#view-plate .legend")).to_contain_text("6 ")
    page.get_by_role("button", name="Take out bolt circles 1").click()
    expect(page.locator(".item")).to_have_count(0)
    assert "bolt" not in text(page, "#said").lower()
