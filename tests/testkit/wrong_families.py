"""Families that each do wrong in one way; a tray is a rectangular plate that nothing holds."""

import os
import random
import time
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, Final

from msgspec import UNSET, Meta, UnsetType
from msgspec.structs import replace

from tallyplate.contract import (
    CONTRACT,
    Build,
    Family,
    Hardware,
    Length,
    Marking,
    Marks,
    Mounting,
    Pattern,
    PlateSpec,
    ShopData,
    Usual,
    refuse,
)
from tallyplate_plugins.families import rectangular
from tests.testkit.wrong import Wrong


class Tray(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="tray", kw_only=True):
    """A plate to lay parts on."""

    length: Annotated[Length, Meta(title="Length", examples=["300 mm", "12 in"])]
    width: Annotated[Length, Meta(title="Width", examples=["200 mm"])]
    pattern: Annotated[Pattern, Meta(title="Hole pattern")] | UnsetType = UNSET
    marking: Annotated[Marking, Meta(title="Marking")] | UnsetType = UNSET


def build(spec: Any, shop: ShopData, usual: Usual) -> Build:
    """The tray as it should be."""
    common = {name: getattr(spec, name) for name in PlateSpec.__struct_fields__}
    common |= {"pattern": spec.pattern, "marking": getattr(spec, "marking", UNSET)}
    held = Mounting(surface="none")
    plate = rectangular.Rectangular(length=spec.length, width=spec.width, mounting=held, **common)
    return rectangular.build(plate, shop, usual)


def family(make: Callable[..., Build] = build, spec: type[PlateSpec] = Tray, **more: Any) -> Family:
    """A family of trays that are built in some way."""
    return Family(contract=CONTRACT, title="Tray", spec=spec, build=make, **more)


RIGHT: Final = family()


def reads_clock(spec: Any, shop: ShopData, usual: Usual) -> Build:
    return replace(build(spec, shop, usual), setups=2 if time.time() > 0 else 3)


def draws_chance(spec: Any, shop: ShopData, usual: Usual) -> Build:
    made = build(spec, shop, usual)
    return replace(made, blank=random.choice([made.blank]))  # noqa: S311


def reads_file(spec: Any, shop: ShopData, usual: Usual) -> Build:
    return replace(build(spec, shop, usual), setups=2 if Path(__file__).read_text() else 3)


def reads_environment(spec: Any, shop: ShopData, usual: Usual) -> Build:
    return replace(build(spec, shop, usual), setups=int(os.environ.get("TRAY_SETUPS", "2")))


MADE: Final = {"trays": 0}


def counts_in_a_global(spec: Any, shop: ShopData, usual: Usual) -> Build:
    MADE["trays"] += 1
    return build(spec, shop, usual)


def remembering(held: list[int]) -> Callable[..., Build]:
    def make(spec: Any, shop: ShopData, usual: Usual) -> Build:
        held.append(1)
        return replace(build(spec, shop, usual), setups=2 + len(held))

    return make


def goes_by_a_set(spec: Any, shop: ShopData, usual: Usual) -> Build:
    sides = {"left", "right", "bottom", "top"}
    return replace(build(spec, shop, usual), marks=tuple(Marks(side, 4) for side in sides))


def walks_holes(spec: Any, shop: ShopData, usual: Usual) -> Build:
    made = build(spec, shop, usual)
    crowded = sum(x < 0 for group in made.holes for x, _ in group.layout.positions())
    return replace(made, setups=2 + crowded)


def trusts_names(spec: Any, shop: ShopData, usual: Usual) -> Build:
    soft = shop.materials[spec.material].bushed
    return replace(build(spec, shop, usual), setups=2 if soft else 3)


def saws_short(spec: Any, shop: ShopData, usual: Usual) -> Build:
    made = build(spec, shop, usual)
    return replace(made, blank=replace(made.blank, length=made.body.length - 10))


def prefers_length(spec: Any, shop: ShopData, usual: Usual) -> Build:
    return replace(build(spec, shop, usual), setups=max(1, int(30_000 / spec.length)))


def prefers_tightness(spec: Any, shop: ShopData, usual: Usual) -> Build:
    made = build(spec, shop, usual)
    return replace(made, setups=1 + int(min(200, 1000 * made.position_tolerance)))


def prefers_small_pitches(spec: Any, shop: ShopData, usual: Usual) -> Build:
    pitch = spec.pattern.pitch if spec.pattern and spec.pattern.pitch else 35.0
    return replace(build(spec, shop, usual), setups=1 + int(pitch))


def prefers_marks(spec: Any, shop: ShopData, usual: Usual) -> Build:
    made = build(spec, shop, usual)
    return replace(made, setups=100 - 9 * len(made.marks))


def points_elsewhere(spec: Any, shop: ShopData, usual: Usual) -> Build:
    if spec.length > 5000:
        raise refuse("/length", "is too long; accepted: up to 5 m")
    return build(spec, shop, usual)


def scraps(spec: Any, shop: ShopData, usual: Usual) -> Build:
    return replace(build(spec, shop, usual), setups=0)


def straps(spec: Any, shop: ShopData, usual: Usual) -> Build:
    return replace(build(spec, shop, usual), hardware=(Hardware("strap", "M12", 2),))


UNSORTED: Final = family(goes_by_a_set)
"""A global, so that another process finds it."""

WRONG: Final = {
    "reads the clock": Wrong(
        family(reads_clock),
        "reads_no_clock",
        r"building reaches the clock \(time\.time, called from wrong_families\.py line \d+\)\. A price must be the "
        r"same on any day: take dates from the order instead",
    ),
    "draws lots": Wrong(
        family(draws_chance),
        "draws_no_chance",
        r"random numbers \(random\.Random\.choice, called from wrong_families\.py line \d+\).* choose by a rule",
    ),
    "reads a file": Wrong(
        family(reads_file),
        "touches_nothing_outside",
        r"\(pathlib\.Path\.read_text, called from wrong_families.*Put figures into the structs that you declare",
    ),
    "reads the environment": Wrong(
        family(reads_environment),
        "reads_no_environment",
        r"the environment \(os\.environ, called from .* ask for the setting as a figure of your own section",
    ),
    "counts in a global": Wrong(
        family(counts_in_a_global),
        "keeps_nothing",
        r"changes the global MADE of tests\.testkit\.wrong_families\. .* let functools\.lru_cache keep",
    ),
    "remembers in a closure": Wrong(
        family(remembering([])), "says_the_same_again", r"answers otherwise, .*setups=.* keep nothing between calls"
    ),
    "goes by the order of a set": Wrong(
        UNSORTED, "says_the_same_elsewhere", r"another process answers otherwise, .*Marks.* sort them"
    ),
    "walks every hole": Wrong(
        family(walks_holes), "work_of_holes", r"the work grows with the holes; .*give them as a Lattice"
    ),
    "trusts a name": Wrong(
        family(trusts_names),
        "bad_specs",
        r"with /plate/material 'no-such-name' building raises KeyError: 'no-such-name' \(wrong_families\.py line \d+\)"
        r".*shop\.require\(\(\"/plate/material\"",
    ),
    "points outside the plate": Wrong(
        family(points_elsewhere), "bad_specs", r"/plate/length '99 m' the refusal points to '/length', not into /plate"
    ),
    "saws the blank short": Wrong(
        family(saws_short), "sound", r"the blank \(290 x .*\) does not hold the body \(300 x .* take blanks from"
    ),
    "is never clamped": Wrong(family(scraps), "sound", r"it is made without being clamped once \(setups\)"),
    "has hardware that nobody prices": Wrong(
        family(straps), "priced", r"cost module 'mounting' failed: .*keep to the words of the contract"
    ),
    "is cheaper when longer": Wrong(
        family(prefers_length), "larger_never_cheaper", r"and with length [\d.]+ mm .*look for a size"
    ),
    "is cheaper when tighter": Wrong(
        family(prefers_tightness), "tighter_never_cheaper", r"a tighter plate must never cost less"
    ),
    "is cheaper with more holes": Wrong(
        family(prefers_small_pitches), "more_holes_never_cheaper", r"more holes in the same plate must never cost less"
    ),
    "is cheaper when marked": Wrong(
        family(prefers_marks), "marked_never_cheaper", r"more marked edges must never cost less"
    ),
}
