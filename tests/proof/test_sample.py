"""The sample: a few dozen plates with all that the shop offers on them, at the steps of sizes and quantities."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import CONTRACT, Break, Charge, CostModule, Lattice, PerPiece, PriceBreaks, Stage
from tallyplate.inquiry import MAX_QUANTITY
from tallyplate.installation import compose
from tallyplate.proof.bench import Bench, Tried, priced
from tallyplate.proof.plates import coarser, larger, marked, sample, tolerances
from tallyplate.proof.quantities import quantities
from tests.plates import installation
from tests.proof.bare import bench, only
from tests.rates.folder import write_data

SHOP = installation().shops[0]
CARD = installation().cards[0]
FLAT = {"rectangular": installation().families["rectangular"]}
"""The family whose plates have every choice; the round one's are tried beside it."""


@pytest.fixture(scope="module")
def demo() -> Bench:
    here = installation()
    return Bench(FLAT, here.modules, CARD, SHOP)


def exact(size: float) -> Fraction:
    """A size as the decimal that somebody wrote."""
    return Fraction(repr(float(size)))


def test_it_is_a_few_dozen_plates_and_the_same_ones_every_time(demo: Bench) -> None:
    assert 20 <= len(demo.sample) <= 40
    again = list(sample(FLAT, SHOP))
    assert [tried.plate for tried in demo.sample] == again


def test_each_material_in_each_of_its_finishes_is_on_some_plate(demo: Bench) -> None:
    on_plates = {(tried.build.body.material, tried.build.finish) for tried in demo.sample}
    assert on_plates == {(name, finish) for name, has in SHOP.materials.items() for finish in has.finishes}


@pytest.mark.parametrize(
    ("answer", "offered"),
    [
        (("pattern", "screw"), set(SHOP.screws)),
        (("pattern", "arrangement"), {"alternating", "combination", "separate"}),
        (("pattern", "thread_inserts"), {True, False}),
        (("mounting", "surface"), {"t_slots", "tapped_grid", "none"}),
        (("mounting", "slot_width"), {None, *(slot.width.text for slot in SHOP.t_slots)}),
        (("mounting", "screw"), {None, *SHOP.screws}),
    ],
    ids=lambda value: ".".join(value) if isinstance(value, tuple) else "",
)
def test_every_choice_is_on_some_plate(demo: Bench, answer: tuple[str, str], offered: set[Any]) -> None:
    part, name = answer
    assert {tried.plate[part].get(name) for tried in demo.sample} == offered


def test_a_plate_is_located_in_every_way_on_either_table(demo: Bench) -> None:
    located = {(tried.build.table.surface, tried.build.table.locate) for tried in demo.sample}
    ways = ("pins", "retractable_pins", "keys", "none")
    assert located == {("none", "none"), *((table, way) for table in ("t_slots", "tapped_grid") for way in ways)}


def test_every_blank_is_exactly_as_thick_as_its_plate_needs(demo: Bench) -> None:
    for tried in demo.sample:
        body, stock = tried.build.body, SHOP.materials[tried.build.body.material].stock
        needs = {form: exact(body.thickness) + 2 * exact(sheet.clean_up) for form, sheet in stock.items()}
        blanks = (tried.build.blank, *tried.build.other_blanks)
        assert any(exact(blank.thickness) == needs[blank.form] for blank in blanks)


def test_on_some_plates_the_last_hole_fits_exactly_and_on_others_just_fails_to(demo: Bench) -> None:
    beside = {left for tried in demo.sample for left in room(tried)}
    assert beside >= {Fraction(0), Fraction(-1, 1000)}


def room(tried: Tried) -> Iterator[Fraction]:
    """What the next whole pitch would have more or less than it needs, or the last hole too much."""
    for group in tried.build.holes:
        if isinstance(group.layout, Lattice):
            lattice = group.layout
            pitch, margin = exact(lattice.pitch_x), exact(lattice.pitch_x)
            left = exact(tried.build.body.length) - margin - exact(lattice.x) - (lattice.columns - 1) * pitch
            yield left if left < pitch / 2 else left - pitch


def test_quantities_reach_every_step_of_every_price_list_that_a_plate_uses(demo: Bench) -> None:
    for tried in demo.sample:
        at = quantities(tried.work)
        for part in tried.build.fitted():
            prices = getattr(CARD.sections["inserts"], part.kind)[part.size]
            for start in (step.from_piece for step in prices.breaks[1:]):
                reached = [quantity for quantity in at if quantity * part.count >= start]
                assert (reached[0] - 1) * part.count < start


def test_quantities_reach_the_steps_of_a_price_list_that_no_card_states(tmp_path: Path) -> None:
    prices = PriceBreaks((Break(1, PerPiece(500, 2)), Break(777, PerPiece(400, 2))))
    pairs = Charge("pairs of feet", 2, prices)
    feet = CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=lambda *_: (pairs,), reads_order=False)
    tried = bench(only(feet, tmp_path)).sample[0]
    # 388 plates take 776 feet, and the next one reaches the step.
    assert {388, 389} <= set(quantities(tried.work))


def test_quantities_just_fill_a_crate_and_just_begin_another(demo: Bench) -> None:
    for tried in demo.sample:
        crates = {
            quantity: line.quantity
            for quantity in quantities(tried.work)
            for line in priced(tried.work, quantity).lines
            if line.of.item == "crates"
        }
        begun = [quantity for quantity in crates if crates.get(quantity - 1) == crates[quantity] - 1]
        assert begun


def test_quantities_stand_around_the_whole_numbers_of_the_card_and_within_what_may_be_asked(demo: Bench) -> None:
    for tried in demo.sample:
        at = quantities(tried.work)
        assert at[0] == 1
        assert at == sorted(set(at))
        assert at[-1] <= MAX_QUANTITY
        assert set(at) >= {1, 2, 30, 50, 51, 52, 100, 101, 102, 250, 251, 252}


def test_plates_are_compared_by_as_many_as_no_minimum_order_hides(tmp_path: Path) -> None:
    write_data(tmp_path, {"minimum": {"order": "9000 USD"}})
    here = installation()
    for tried in bench(compose(here.families, here.modules, tmp_path)).sample:
        fillings = [
            [line.of.item for line in priced(tried.work, quantity).lines if line.of.module == "minimum"]
            for quantity in (tried.few, tried.few // 2 or 1)
        ]
        assert fillings[0] == []
        assert fillings[1] or tried.few == 1


def test_tolerances_go_from_wide_to_tight_over_every_limit_and_just_within() -> None:
    told = tolerances(SHOP)
    assert told[0] == "0.1 mm"
    assert told == sorted(told, key=lambda text: -float(text.split()[0]))
    assert {"0.04 mm", "0.0399 mm", "0.03 mm", "0.0299 mm", "0.015 mm", "0.0149 mm"} <= set(told)


def test_materials_without_finishes_and_a_shop_without_materials_leave_fewer_plates_or_none() -> None:
    bare = {name: replace(material, finishes=()) for name, material in SHOP.materials.items()}
    plates = list(sample(installation().families, replace(SHOP, materials=bare)))
    assert {plate["finish"] for plate in plates} == {SHOP.usual.finish}
    assert not list(sample(installation().families, replace(SHOP, materials={})))


def test_sizes_grow_over_the_ends_of_the_stock() -> None:
    told = larger("300 mm", "al-6061-t6", SHOP)
    assert told[:2] == ["300 mm", "300.001 mm"]
    # The precision plate ends at 2400 mm and the plate at 3600 mm, and either is 3 mm larger all around.
    assert {"2394 mm", "2394.001 mm", "3594 mm", "3594.001 mm"} <= set(told)
    assert len(told) == len(set(told))


def test_a_coarser_pattern_leaves_some_of_the_holes_and_all_else(demo: Bench) -> None:
    for tried in demo.sample:
        free = tried.plate | {"mounting": {"surface": "none"}}
        fine, coarse = demo.tried(free), demo.tried(coarser(free, 3))
        assert fine
        assert coarse
        assert places(coarse) < places(fine)
        assert coarse.build.body == fine.build.body


def places(tried: Tried) -> set[tuple[str, float, float]]:
    """Each hole by its kind and its place to the micrometre."""
    return {(group.kind, round(x, 3), round(y, 3)) for group in tried.build.holes for x, y in group.layout.positions()}


def test_edges_are_marked_from_none_to_all() -> None:
    assert [len(plate["marking"]["edges"]) for plate in marked({})] == [0, 1, 2, 3, 4]
