"""The round plate: holes about the centre and within the rim, bolt circles and bore that the lattice gives way to."""

from math import cos, hypot, pi, sin, tau
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.contract import Build, Lattice, Refusal, Usual, it7
from tallyplate.inquiry import read
from tests.plates import installation

BASE: dict[str, Any] = {"family": "round", "diameter": "400 mm", "thickness": "40 mm", "material": "al-6061-t6"}
SHOP = installation().shops[0]


def built(**changes: Any) -> Build:
    here = installation()
    inquiry = read({"plate": BASE | changes}, here.families)
    return here.families["round"].build(inquiry.plate, SHOP, Usual())


def total(quantity: int = 1, **changes: Any) -> float:
    return float(installation().price({"plate": BASE | changes, "quantity": quantity}).total)


def by_hand(diameter: float, pitch: float, margin: float) -> set[tuple[float, float]]:
    """Every place of a lattice about the centre that keeps its margin, found by trying all."""
    centre, steps = diameter / 2, int(diameter / pitch) + 1
    return {
        (round(centre + column * pitch, 6), round(centre + row * pitch, 6))
        for column in range(-steps, steps + 1)
        for row in range(-steps, steps + 1)
        if hypot(column * pitch, row * pitch) <= diameter / 2 - margin + 1e-7
    }


@given(st.integers(80, 600), st.integers(20, 90), st.integers(10, 40))
def test_the_lattice_is_all_that_fits_about_the_centre(diameter: int, pitch: int, margin: int) -> None:
    spec = {"pitch": f"{pitch} mm", "margin": f"{margin} mm", "arrangement": "combination", "screw": "M10"}
    build = built(diameter=f"{diameter} mm", pattern=spec)
    (group,) = build.holes
    found = {(round(x, 6), round(y, 6)) for x, y in group.layout.positions()}
    assert found == by_hand(diameter, pitch, margin)
    assert group.count == len(found)


def test_kinds_that_take_turns_share_the_lattice_between_them() -> None:
    pattern = {"pitch": "30 mm", "margin": "25 mm", "screw": "M10"}
    combination, tapped = built(pattern=pattern).holes
    both = {*combination.layout.positions(), *tapped.layout.positions()}
    assert combination.count + tapped.count == len(both) == len(by_hand(400, 30, 25))
    assert (combination.count, tapped.count) == tuple(
        len(list(group.layout.positions())) for group in (combination, tapped)
    )


def test_a_bolt_circle_is_even_about_the_centre() -> None:
    circle = {"diameter": "300 mm", "count": 8, "screw": "M12", "kind": "holding"}
    holding = built(bolt_circles=[circle]).holes[-1]
    expected = [(200 + 150 * cos(tau * place / 8), 200 + 150 * sin(tau * place / 8)) for place in range(8)]
    assert list(holding.layout.positions()) == pytest.approx(expected)
    assert holding.mounting


def test_the_lattice_gives_way_to_bore_and_circles_and_says_where() -> None:
    circle = {"diameter": "300 mm", "count": 6, "screw": "M12"}
    build = built(centre_bore="60 mm", bolt_circles=[circle], pattern={"pitch": "25 mm", "screw": "M10"})
    assert build.given_up
    added = [group for group in build.holes if not isinstance(group.layout, Lattice)]
    for group in build.holes:
        if isinstance(group.layout, Lattice):
            for x, y in group.layout.positions():
                for other in added:
                    reach = (group.hole.widest + other.hole.widest) / 2 + SHOP.walls.between_holes
                    assert all(hypot(x - at, y - up) >= reach - 1e-6 for at, up in other.layout.positions())
    assert not [finding for finding in installation().price({"plate": BASE}).findings if finding.code == "thin-wall"]


def test_a_disc_has_the_areas_of_a_disc() -> None:
    body = built().body
    assert body.plan_area == pytest.approx(pi * 200**2)
    assert body.volume == pytest.approx(pi * 200**2 * 40)
    assert body.surface == pytest.approx(2 * pi * 200**2 + pi * 400 * 40)
    assert (body.length, body.width, body.perimeter) == pytest.approx((400, 400, pi * 400))


def test_a_hole_too_near_the_rim_is_an_error() -> None:
    near = {"diameter": "392 mm", "count": 4, "screw": "M10"}
    answer = installation().price({"plate": BASE | {"bolt_circles": [near]}})
    assert "thin-edge" in {finding.code for finding in answer.findings}


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"centre_bore": "400 mm"}, "/plate/centre_bore"),
        ({"bolt_circles": [{"diameter": "410 mm", "count": 3, "screw": "M10"}]}, "/plate/bolt_circles/0/diameter"),
        ({"bolt_circles": [{"diameter": "200 mm", "count": 3, "screw": "M11"}]}, "/plate/bolt_circles/0/screw"),
        ({"bolt_circles": [{"diameter": "200 mm", "count": 181, "screw": "M10"}] * 2}, "/plate/bolt_circles"),
        ({"pattern": {"arrangement": "separate"}}, "/plate/pattern/arrangement"),
        ({"pattern": {"origin": {"x": "20 mm", "y": "20 mm"}}}, "/plate/pattern/origin"),
        ({"pattern": {"margin": "201 mm"}}, "/plate/pattern/margin"),
        ({"pattern": {"pitch": "0.1 mm"}}, "/plate/pattern/pitch"),
        ({"pattern": {"pitch": "1 mm", "screw": "M10"}, "centre_bore": "200 mm"}, "/plate/pattern/pitch"),
    ],
)
def test_what_has_no_geometry_is_refused_by_field(changes: dict[str, Any], pointer: str) -> None:
    with pytest.raises(Refusal) as raised:
        built(**changes)
    assert [fault.pointer for fault in raised.value.faults] == [pointer]


@given(st.integers(100, 580), st.integers(1, 60), st.sampled_from((1, 3, 25)))
def test_a_larger_disc_never_costs_less(diameter: int, more: int, quantity: int) -> None:
    fixed = {"pitch": "30 mm", "margin": "30 mm", "screw": "M10"}
    smaller, larger = (total(quantity, diameter=f"{d} mm", pattern=fixed) for d in (diameter, diameter + more))
    assert larger >= smaller


def test_a_bore_wider_than_any_drill_is_milled_out() -> None:
    answer = installation().price({"plate": BASE | {"centre_bore": "120 mm"}})
    (line,) = (line for line in answer.lines if line.item == "centre holes")
    # 120 mm through 40 mm is 452.389 cm3; 600 cm3 a minute take 45.24 s.
    assert "mill out 45.2, bore" in line.basis


@pytest.mark.parametrize(
    ("diameter", "micrometres"),
    # ISO 286-1: 6 to 50 mm from published tables; the others from memory.
    [(3, 10), (6, 12), (8, 15), (10, 15), (12, 18), (18, 18), (20, 21), (50, 25), (60, 30), (100, 35), (500, 63)],
)
def test_close_bores_are_made_to_it7(diameter: float, micrometres: int) -> None:
    assert it7(diameter) * 1000 == pytest.approx(micrometres)


SERVICES: dict[str, Any] = {
    "material_certificate": "2.1",
    "packing": "export",
    "spares": {"screws": {"M12": 8}},
    "rush": True,
}


@pytest.mark.parametrize("module", sorted({*installation().modules} - {"reworking"}))
def test_every_cost_module_prices_a_round_plate(module: str) -> None:
    spec = BASE | {"finish": "anodized", "centre_bore": "50 mm", "material": "al-6061-t6"}
    spec["bolt_circles"] = [{"diameter": "320 mm", "count": 6, "screw": "M12", "kind": "holding"}]
    spec |= {"edge_chamfer": "1 mm", "lifting_holes": "two", "lifting_eyes": True}
    spec = spec if module != "minimum" else {"family": "round", "diameter": "80 mm", "material": "acetal"}
    spec = spec | {"material_supplied": True} if module == "supplied" else spec
    asked: dict[str, Any] = {"services": SERVICES} if module in {"export", "paper", "rush", "spares"} else {}
    asked = {"services": {"matched": True}, "quantity": 2} if module == "matching" else asked
    assert module in {line.module for line in installation().price({"plate": spec, **asked}).lines}
