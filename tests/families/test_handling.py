"""Lifting holes and handles of flat plates: where they lie, how they are sized, and what is refused; and edges."""

from math import sqrt
from typing import Any

import pytest

from tallyplate.contract import Build, Lattice, Refusal
from tests.families.test_features import BARE, GRID, ROUND
from tests.plates import answer, built
from tests.strategies import SHOP


def handled(**changes: Any) -> Build:
    return built({**BARE, **{f"/plate/{name}": value for name, value in changes.items()}})


def group(build: Build, kind: str) -> Any:
    (found,) = [group for group in build.holes if group.kind == kind]
    return found


@pytest.mark.parametrize("many", ["two", "four"])
@pytest.mark.parametrize("plate", [{}, ROUND], ids=["rectangular", "round"])
def test_lifting_holes_balance_the_plate_about_its_middle(many: str, plate: dict[str, Any]) -> None:
    build = built({"/plate": ROUND | {"lifting_holes": many}}) if plate else handled(lifting_holes=many)
    spots = list(group(build, "lifting").layout.positions())
    assert len(spots) == {"two": 2, "four": 4}[many]
    for axis, size in enumerate((build.body.length, build.body.width)):
        assert sum(spot[axis] for spot in spots) / len(spots) == pytest.approx(size / 2)
    assert build.cleared == len(build.given_up) > 0


@pytest.mark.parametrize("size", ["200 mm", "700 mm", "1500 mm"])
def test_their_usual_thread_is_the_smallest_whose_eye_bolts_carry_the_plate(size: str) -> None:
    heavy = {"length": size, "material": "steel-1018", "finish": "plain", "thickness": "60 mm"}
    build = handled(lifting_holes="two", **heavy)
    mass, thread = SHOP.mass(build.body), group(build, "lifting").hole.thread
    # Two eye bolts whose slings lean 45 deg carry sqrt 2 times what one may.
    bears = {name: sqrt(2) * screw.eye_bolt.leaning for name, screw in SHOP.screws.items() if screw.eye_bolt}
    enough = [name for name, most in bears.items() if most >= mass]
    assert thread.designation in enough
    assert SHOP.screws[thread.designation].major == min(SHOP.screws[name].major for name in enough)
    pointers = {"/plate/lifting_holes": "two", **{f"/plate/{name}": value for name, value in heavy.items()}}
    assumed = {one["pointer"]: one["value"] for one in answer({**BARE, **pointers})["assumed"]}
    assert assumed["/plate/lifting_screw"] == thread.designation


def test_a_thin_plate_is_tapped_through_and_short_thread_is_found() -> None:
    deep, thin = handled(lifting_holes="two"), handled(lifting_holes="two", thickness="12 mm", lifting_screw="M12")
    assert not group(deep, "lifting").hole.through
    assert group(thin, "lifting").hole.through
    asked = {**BARE, "/plate/lifting_holes": "two", "/plate/thickness": "12 mm", "/plate/lifting_screw": "M12"}
    assert "short-thread" in {one["code"] for one in answer(asked)["findings"]}


def test_handles_stand_in_pairs_along_both_ends() -> None:
    one, two = handled(handles="one_pair"), handled(handles="two_pairs")
    handle = SHOP.screws["M10"].handle
    assert handle is not None
    for build, ends in ((one, 2), (two, 4)):
        spots = list(group(build, "handle").layout.positions())
        assert len(spots) == 2 * ends
        assert build.accessories[0].count == ends
        pairs = list(zip(spots[::2], spots[1::2], strict=True))
        assert all(upper[1] - lower[1] == pytest.approx(handle.spacing) for lower, upper in pairs)
        assert {spot[0] for spot in spots} == {19.0, build.body.length - 19.0}


def test_eyes_are_sent_for_every_lifting_hole() -> None:
    (part,) = handled(lifting_holes="four", lifting_eyes=True, lifting_screw="M16").accessories
    assert (part.kind, part.size, part.count) == ("lifting_eye", "M16", 4)


@pytest.mark.parametrize(
    ("changes", "pointer", "why"),
    [
        ({"lifting_screw": "M12"}, "/plate/lifting_screw", "no meaning without lifting holes"),
        ({"lifting_eyes": True}, "/plate/lifting_eyes", "no meaning without lifting holes"),
        ({"lifting_holes": "two", "lifting_screw": "M9"}, "/plate/lifting_screw", "is not on offer"),
        ({"handles": "two_pairs", "width": "250 mm"}, "/plate/handles", "a width of at least 316 mm"),
        ({"corner_radius": "225 mm"}, "/plate/corner_radius", "leaves no side; accepted: less than 225 mm"),
        ({"edge_chamfer": "20 mm"}, "/plate/edge_chamfer", "leaves no side; accepted: less than 20 mm"),
    ],
)
def test_what_means_nothing_or_has_no_room_is_refused(changes: dict[str, Any], pointer: str, why: str) -> None:
    with pytest.raises(Refusal, match=why) as refused:
        handled(**changes)
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


def nodes(build: Build) -> set[tuple[int, int]]:
    lattices = [group.layout for group in build.holes if isinstance(group.layout, Lattice)]
    return {node for lattice in lattices for node in lattice.nodes()}


@pytest.mark.parametrize("radius", [20, 60, 200])
@pytest.mark.parametrize("margin", [15, 25])
def test_the_pattern_gives_up_the_holes_that_round_corners_leave_no_room_for(radius: int, margin: int) -> None:
    pattern = GRID | {"pitch": "20 mm", "margin": f"{margin} mm", "bushings": False}
    bare, made = handled(pattern=pattern), handled(pattern=pattern, corner_radius=f"{radius} mm")
    need = bare.holes[0].hole.widest / 2 + SHOP.walls.to_edge
    length, width = bare.body.length, bare.body.width

    def clear(spot: tuple[float, float]) -> bool:
        across, up = min(spot[0], length - spot[0]), min(spot[1], width - spot[1])
        if across >= radius or up >= radius:
            return True
        return radius - sqrt((radius - across) ** 2 + (radius - up) ** 2) >= need - 1e-6

    lattice = bare.holes[0].layout
    assert isinstance(lattice, Lattice)
    before, left = nodes(bare), nodes(made)
    assert left == {node for node in before if clear(lattice.position(node))}
    assert {node for _, node in made.given_up} == before - left
    assert "thin-edge" not in {
        one["code"]
        for one in answer({**BARE, "/plate/pattern": pattern, "/plate/corner_radius": f"{radius} mm"})["findings"]
    }
