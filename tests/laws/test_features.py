"""Laws of features: their own lines never come to less than nothing, and a pattern gives up only what is listed.

The exact form: a plate with features costs at least as much as the same plate whose pattern has lost the positions that
are listed as given up, and nothing put there instead. So a feature more saves at most the holes that it takes the room
of; the mounting is left out, whose places may follow the pattern.
"""

from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.contract import Build, Lattice, Refusal
from tests.families.test_features import BARE, CIRCLE, GRID, HOLE, KEEP_OUT, POCKET, SLOT, points
from tests.laws.prices import cheaper, cost
from tests.plates import answer, built

X, Y = st.integers(60, 640), st.integers(60, 390)
SPOT = st.builds(lambda x, y: points((x, y))[0], X, Y)
FEATURE = st.one_of(
    st.builds(lambda at, depth: POCKET | {"at": at, "depth": f"{depth} mm"}, SPOT, st.integers(1, 35)),
    st.builds(lambda at, kind: HOLE | {"at": [at], "kind": kind}, SPOT, st.sampled_from(["tapped", "combination"])),
    st.builds(lambda at, count: CIRCLE | {"centre": at, "count": count, "circle": "80 mm"}, SPOT, st.integers(1, 20)),
    st.builds(lambda start, end: SLOT | {"start": start, "end": end}, SPOT, SPOT),
    st.builds(lambda at, d: {"feature": "cut_out", "at": at, "diameter": f"{d} mm"}, SPOT, st.integers(12, 110)),
    st.builds(lambda at: KEEP_OUT | {"at": at, "diameter": "100 mm"}, SPOT),
    st.builds(lambda at, d: {"feature": "bore", "at": at, "diameter": f"{d} mm"}, SPOT, st.integers(8, 110)),
)
FINISHES = st.sampled_from(["plain", "anodized"])
PITCHES = st.sampled_from(["30 mm", "45 mm", "100 mm"])


def made(features: list[dict[str, Any]], **changes: Any) -> Build:
    """The build of a plate that nothing holds; one that cannot be made is no example."""
    try:
        return built({**BARE, "/plate/features": features, **changes})
    except Refusal:
        assume(condition=False)
        raise


def emptied(build: Build) -> Build:
    """The same plate with the pattern as it is left, and nothing where the features are."""
    kept = tuple(group for group in build.holes if not group.placed)
    return replace(build, holes=kept, milled=(), kept_free=(), given_up=(), cleared=0)


@settings(max_examples=60)
@given(st.lists(FEATURE, min_size=1, max_size=4), FINISHES, PITCHES, st.integers(1, 40))
def test_features_never_come_to_less_than_nothing(
    features: list[dict[str, Any]], finish: str, pitch: str, quantity: int
) -> None:
    build = made(features, **{"/plate/finish": finish, "/plate/pattern": GRID | {"pitch": pitch}})
    assert not cheaper(build, emptied(build), quantity)


@settings(max_examples=40)
@given(st.lists(FEATURE, min_size=1, max_size=4), PITCHES)
def test_the_pattern_has_all_its_holes_but_those_that_are_listed(features: list[dict[str, Any]], pitch: str) -> None:
    pattern = {"/plate/pattern": GRID | {"pitch": pitch}}
    bare, build = made([], **pattern), made(features, **pattern)
    (before,) = (group.layout for group in bare.holes)
    kept = [group.layout for group in build.holes if not group.placed]
    assert isinstance(before, Lattice)
    left = {node for layout in kept if isinstance(layout, Lattice) for node in layout.nodes()}
    assert left | {node for _, node in build.given_up} == set(before.nodes())
    assert len(left) + len(build.given_up) == before.count


@settings(max_examples=40)
@given(st.lists(FEATURE, max_size=3), FEATURE, st.integers(1, 40))
def test_a_feature_more_on_a_plate_without_a_pattern_there_never_costs_less(
    features: list[dict[str, Any]], more: dict[str, Any], quantity: int
) -> None:
    # One hole in the corner, which nothing comes near.
    corner = {"/plate/pattern": GRID | {"pitch": "1 m", "margin": "12 mm"}}
    assert not cheaper(made([*features, more], **corner), made(features, **corner), quantity)


@settings(max_examples=40)
@given(st.integers(1, 18), st.integers(1, 18), st.integers(9, 19), st.integers(9, 19), st.integers(0, 40))
def test_a_pocket_that_is_deeper_sharper_or_larger_never_costs_less(
    depth: int, deeper: int, sharp: int, blunt: int, wider: int
) -> None:
    corner = {"/plate/pattern": GRID | {"pitch": "1 m", "margin": "12 mm"}}
    shallow, deep = sorted((depth, depth + deeper - 1))
    radii = sorted((sharp, blunt))
    small = POCKET | {"depth": f"{shallow} mm", "corner_radius": f"{radii[1]} mm"}
    for more in (
        {"depth": f"{deep} mm"},
        {"corner_radius": f"{radii[0]} mm"},
        {"length": f"{80 + wider} mm", "width": f"{40 + wider} mm"},
    ):
        assert cost(made([small | more], **corner)) >= cost(made([small], **corner)), more


def test_a_kept_area_costs_nothing_and_saves_only_its_holes() -> None:
    nowhere = KEEP_OUT | {"at": points((45, 45))[0], "diameter": "1 mm"}
    bare, kept = (answer({**BARE, "/plate/features": features}) for features in ([], [nowhere]))
    assert kept["lines"] == bare["lines"]
    assert cost(made([KEEP_OUT])) == cost(emptied(made([KEEP_OUT])))


@settings(max_examples=30)
@given(
    st.sampled_from([{"/plate/corner_radius": "10 mm"}, {"/plate/edge_chamfer": "1 mm"}, {"/plate/handles": "one_pair"},
                     {"/plate/lifting_holes": "two"}, {"/plate/lifting_holes": "four", "/plate/lifting_eyes": True}]),
    st.sampled_from(["200 mm", "450 mm", "700 mm"]),
    st.integers(1, 30),
)  # fmt: skip
def test_corners_chamfers_handles_and_lifting_holes_never_save(extra: Any, length: str, quantity: int) -> None:
    corner = {"/plate/pattern": GRID | {"pitch": "1 m", "margin": "30 mm"}, "/plate/length": length}
    assert not cheaper(made([], **corner, **extra), made([], **corner), quantity)
