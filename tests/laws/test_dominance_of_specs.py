"""Law 1, on specs: a plate that grows or tightens is never cheaper, wherever geometry makes its build dominate.

It does not hold where the mounting moves: a longer plate's holding screws may take a hole of the pattern, or free one.
Nor does it hold for thickness alone: of two plates from one stock thickness, the thinner has more to mill away.
"""

from fractions import Fraction

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.laws.prices import cheaper, cost, made
from tests.strategies import FREE, SHOP, UM, Json, exact, in_mm, plates, written

free_plates = plates(mounting=st.just(FREE))
SMALL: Json = {"family": "rectangular", "length": "300 mm", "width": "200 mm", "material": "al-6061-t6"}


quantities = st.sampled_from((1, 2, 10, 100))


@given(free_plates, st.sampled_from(("length", "width")), st.sampled_from((UM, Fraction(1), Fraction(30))), quantities)
def test_a_longer_or_wider_plate_that_nothing_holds_never_costs_less(
    plate: Json, side: str, more: Fraction, quantity: int
) -> None:
    larger = plate | {side: written(in_mm(plate[side]) + more, "mm")}
    assert not cheaper(made(larger), made(plate), quantity)


@given(plates(), st.sampled_from(("position_tolerance", "flatness")), st.sampled_from((1, 50, 90)), quantities)
def test_a_tighter_tolerance_never_costs_less(plate: Json, name: str, percent: int, quantity: int) -> None:
    usual = getattr(SHOP.usual, name).text
    tight = plate | {name: written(in_mm(plate.get(name, usual)) * percent / 100, "mm")}
    assert not cheaper(made(tight), made(plate), quantity)


@given(plates(), st.sampled_from(("left", "right", "bottom", "top")), quantities)
def test_another_marked_edge_never_costs_less(plate: Json, edge: str, quantity: int) -> None:
    edges = plate.get("marking", {"edges": list(SHOP.usual.edges)})["edges"][:3]
    more, fewer = (made(plate | {"marking": {"edges": some}}) for some in ([*edges, edge], edges))
    assert not cheaper(more, fewer, quantity)


@given(plates(), st.sampled_from(("anodized", "hard-anodized", "black-oxide")), quantities)
def test_a_finish_never_costs_less_than_none(plate: Json, finish: str, quantity: int) -> None:
    assert not cheaper(made(plate | {"finish": finish}), made(plate | {"finish": "plain"}), quantity)


@given(
    plates(mounting=st.just({"surface": "t_slots", "locate": "none"})), st.sampled_from(("pins", "keys")), quantities
)
def test_a_located_plate_never_costs_less_where_no_hole_makes_way(plate: Json, locate: str, quantity: int) -> None:
    # A locator may take a hole of the pattern; a plate whose pattern keeps all its holes has only gained one.
    plain, located = made(plate), made(plate | {"mounting": {"surface": "t_slots", "locate": locate}})
    pattern = [group for group in plain.holes if not group.mounting]
    assume([group for group in located.holes if not group.mounting] == pattern)
    assert not cheaper(located, plain, quantity)


def to_mill_away(plate: Json) -> dict[str, float]:
    """How much thicker than the plate its blank is, for each form that would serve."""
    build = made(plate)
    return {blank.form: blank.thickness - build.body.thickness for blank in (build.blank, *build.other_blanks)}


@settings(max_examples=100)
@given(st.data(), free_plates, st.sampled_from((Fraction(0), UM, Fraction(1))))
def test_a_thicker_plate_with_as_much_to_mill_away_never_costs_less(
    data: st.DataObject, plate: Json, short: Fraction
) -> None:
    stock = SHOP.materials[plate["material"]].stock
    sheet = stock[data.draw(st.sampled_from(sorted(stock)), label="form")]
    sizes = st.sampled_from([exact(size) - 2 * exact(sheet.clean_up) - short for size in sheet.thicknesses])
    thin, thick = sorted((data.draw(sizes, label="one thickness"), data.draw(sizes, label="another")))
    thinner, thicker = (plate | {"thickness": written(mm, "mm")} for mm in (thin, thick))
    removed = to_mill_away(thinner)
    assume(all(form in removed and mm >= removed[form] - 1e-9 for form, mm in to_mill_away(thicker).items()))
    assert not cheaper(made(thicker), made(thinner), data.draw(quantities, label="quantity"))


def test_a_thinner_plate_from_the_same_stock_may_cost_more_for_more_is_milled_away() -> None:
    # 1018 comes 1.75 in and 2 in thick: both of these plates are milled from the thicker.
    steel = SMALL | {"material": "steel-1018", "mounting": FREE, "pattern": {"pitch": "100 mm"}}
    thinner, thicker = steel | {"thickness": "42.5 mm"}, steel | {"thickness": "48.8 mm"}
    assert made(thinner).blank == made(thicker).blank
    assert cost(made(thinner)) > cost(made(thicker))


def test_a_longer_plate_may_cost_less_where_its_holding_screws_take_more_of_the_pattern() -> None:
    held = SMALL | {"mounting": {"surface": "t_slots", "locate": "none"}}
    held |= {"pattern": {"arrangement": "combination", "screw": "M12", "pitch": "35 mm"}}
    shorter, longer = made(held | {"length": "434 mm"}), made(held | {"length": "435 mm"})
    assert shorter.holes[0].layout.count > longer.holes[0].layout.count
    assert cost(shorter) > cost(longer)
