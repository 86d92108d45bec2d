"""What proves that an answer may be kept: watched builds tell all that is read, opaque values all that look at them."""

import copy
import math
from collections.abc import Callable
from math import prod
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import Body, Build
from tallyplate.http.effects import start
from tallyplate.tradeoffs.alternatives.opaque import Looked, Opaque
from tallyplate.tradeoffs.alternatives.plates import Plates
from tallyplate.tradeoffs.alternatives.remembered import Look, Remembered
from tallyplate.tradeoffs.alternatives.variables import variables
from tallyplate.tradeoffs.alternatives.watching import WHOLE, Feature, View
from tests.plates import MINIMAL, built, installation, request
from tests.tradeoffs.alternatives import TOMBSTONE, pricer
from tests.tradeoffs.effects import ROUND


def _seen(read: Callable[[Any], object], build: Build) -> set[Feature]:
    seen: set[Feature] = set()
    read(View(build, seen.add))
    return seen


@pytest.mark.parametrize(
    ("read", "features"),
    [
        (lambda build: build.finish, {Feature(("finish",))}),
        (lambda build: build.body.volume + build.body.edge, {Feature(("body", "volume")), Feature(("body", "edge"))}),
        (lambda build: [group.count for group in build.holes], {Feature(("holes",))}),
        (lambda build: build.fitted(), {Feature(("holes",)), Feature(("replaced",))}),
        (lambda build: build.blank.sawn, {Feature(("blank", "sawn"))}),
        (lambda build: build.flatness < 0.02, {Feature(("flatness",), "lt", 0.02)}),
        (lambda build: min(0.02, build.flatness), {Feature(("flatness",), "lt", 0.02)}),
        (lambda build: max(1.0, build.flatness), {Feature(("flatness",), "gt", 1.0)}),
        (lambda build: math.sqrt(build.flatness), {Feature(("flatness",))}),
        (lambda build: 2 * build.flatness, {Feature(("flatness",))}),
        (lambda build: f"{build.flatness:.2f}", {Feature(("flatness",))}),
        (lambda build: {0.05: 1}.get(build.flatness), {Feature(("flatness",)), Feature(("flatness",), "eq", 0.05)}),
        (lambda build: hash(build.body), {Feature(("body",))}),
        (lambda build: build in (None, 1), {WHOLE}),
        (lambda build: build.table.surface, {Feature(("table", "surface"))}),
    ],
)
def test_all_that_is_read_of_a_build_is_noted(read: Callable[[Any], object], features: set[Feature]) -> None:
    assert _seen(read, built()) == features


def test_a_watched_build_passes_for_one() -> None:
    seen: set[Feature] = set()
    build = built()
    watched: Any = View(build, seen.add)
    assert isinstance(watched, Build)
    assert isinstance(watched.body, Body)
    assert isinstance(watched.flatness, float)
    assert not seen
    assert watched.body == build.body
    assert watched.body.milled == build.body.milled
    assert watched.flatness + 1 == build.flatness + 1


def test_a_function_is_asked_once_for_builds_that_agree_in_what_it_reads() -> None:
    asked: list[Build] = []

    def tight(look: Look, build: Build) -> str:
        asked.append(build)
        return f"{look(build).finish} {look(build).flatness < 0.02}"

    function, build = Remembered(tight), built()
    for flatness in (0.05, 0.03, 0.02, 0.01, 0.015):
        other = replace(build, flatness=flatness, position_tolerance=flatness / 2)
        assert function(other) == f"{build.finish} {flatness < 0.02}"
    assert len(asked) == 2
    assert function(replace(build, finish="plain")) == "plain False"
    assert len(asked) == 3


def test_a_function_that_reads_more_for_some_builds_is_asked_again_for_those() -> None:
    def some(look: Look, build: Build) -> int:
        watched = look(build)
        return watched.setups if watched.finish == "plain" else 0

    function, build = Remembered(some), built()
    assert function(build) == 0
    assert [function(replace(build, finish="plain", setups=setups)) for setups in (2, 3, 2)] == [2, 3, 2]
    assert function(replace(build, setups=9)) == 0


def test_a_function_that_wants_a_real_build_is_known_by_all_of_it() -> None:
    function, build = Remembered(lambda look, build: replace(look(build), setups=1).flatness), built()
    assert [function(replace(build, flatness=flatness)) for flatness in (0.1, 0.2)] == [0.1, 0.2]
    assert function.features == (WHOLE,)


def test_a_build_that_has_no_hash_is_asked_for_each_time() -> None:
    build: Any = replace(built(), marks=[])
    function = Remembered(lambda look, build: len(look(build).marks))
    assert [function(build), function(build)] == [0, 0]


def test_what_a_function_raises_is_raised() -> None:
    def fails(look: Look, build: Build) -> int:
        raise ValueError(look(build).finish)

    with pytest.raises(ValueError, match="anodized"):
        Remembered(fails)(built())


@pytest.mark.parametrize(
    "look",
    [
        str, repr, hash, bool, len, float, int, list, copy.copy, copy.deepcopy, math.sqrt,
        lambda value: value == 1, lambda value: value < 1, lambda value: value + 1, lambda value: 1 - value,
        lambda value: value in {"plain": 1}, lambda value: f"{value}", ",".join,
        lambda value: isinstance(value, str), lambda value: value.text, lambda value: value[0], lambda value: value(),
        lambda value: sum([value]), lambda value: value == "plain", lambda value: -value, lambda value: max(1, value),
    ],
)  # fmt: skip
def test_whoever_looks_at_an_opaque_value_is_seen(look: Callable[[Any], object]) -> None:
    opaque = Opaque(("plain", "anodized"))
    with pytest.raises(Looked) as seen:
        look(opaque)
    assert seen.value.at is opaque


def test_an_opaque_value_may_be_handed_on() -> None:
    opaque: Any = Opaque()
    build = replace(built(), finish=opaque)
    assert build.finish is opaque
    assert {"finish": opaque}["finish"] is opaque


def test_finishes_and_tolerances_share_the_builds_of_every_shipped_family() -> None:
    free = ["/plate/finish", "/plate/position_tolerance", "/plate/flatness"]
    for asked in (request(), MINIMAL, ROUND, TOMBSTONE):
        plain = {name: value for name, value in asked.items() if name != "may_change"}
        pitch = {"pointer": "/plate/pattern/pitch", "values": ["50 mm"]}
        found = variables(start(plain, installation()), [*free, pitch])
        plates = list(Plates(plain, found, pricer(plain)))
        assert len(plates) == 2
        assert len({plate.number + number for plate in plates for number in plate.numbers().values()}) == prod(
            one.count for one in found
        )
