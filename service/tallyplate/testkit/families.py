"""Every check of a family, in the order that its author meets them."""

from typing import Final

from tallyplate.proof.laws_of_money import higher_rates, the_same_again
from tallyplate.proof.laws_of_orders import more_plates, times_as_many
from tallyplate.proof.laws_of_plates import tighter_plates
from tallyplate.testkit import declared, purity
from tallyplate.testkit.bad_specs import unrefused
from tallyplate.testkit.check import Check, on_bench
from tallyplate.testkit.growth_of_plates import cheaper_larger, cheaper_marked, cheaper_with_more_holes
from tallyplate.testkit.sound import bad_examples, unpriced, unsound
from tallyplate.testkit.work import grows_with_holes

GEOMETRY: Final = (
    "Money follows the build: look for a size, a count of holes, setups or a blank that falls where the plate grows."
)
FEW: Final = 3
"""Plates that are priced again with every figure of the rate card raised."""
PRICED: Final = ("priced",)

CHECKS: Final = (
    *declared.CHECKS,
    Check(
        "examples",
        bad_examples,
        "The examples of a spec are its documentation and what its laws are tried on: each must make a plate. Refuse "
        "what cannot be made with refuse(pointer, message), and raise nothing else.",
        (declared.SECTIONS,),
    ),
    *purity.checks(("examples",)),
    Check(
        "sound",
        unsound,
        "Cost modules trust a build. Work each size out in mm from the spec, take blanks from shop.blanks(body), and "
        "names from the shop data.",
        ("examples",),
    ),
    Check(
        "priced",
        unpriced,
        "Every cost module must be able to price every family: keep to the words of the contract for kinds of hole and "
        "hardware, and to the names of the shop data for materials, screws and finishes.",
        ("sound", "says_the_same_again"),
    ),
    Check("larger_never_cheaper", cheaper_larger, GEOMETRY, PRICED),
    Check("tighter_never_cheaper", on_bench(tighter_plates), GEOMETRY, PRICED),
    Check("marked_never_cheaper", cheaper_marked, GEOMETRY, PRICED),
    Check("more_holes_never_cheaper", cheaper_with_more_holes, GEOMETRY, PRICED),
    Check("more_plates_never_cheaper", on_bench(more_plates), GEOMETRY, PRICED),
    Check("times_as_many_never_dearer", on_bench(times_as_many), GEOMETRY, PRICED),
    Check("higher_rates_never_cheaper", on_bench(higher_rates, FEW), GEOMETRY, PRICED),
    Check("same_beside_others", on_bench(the_same_again), GEOMETRY, PRICED),
    Check(
        "bad_specs",
        unrefused,
        'Refuse what cannot be made and name the field: names with shop.require(("/plate/material", spec.material, '
        'shop.materials)), all else with refuse(pointer, "what was found; accepted: what would be").',
        ("priced",),
    ),
    Check(
        "work_of_holes",
        grows_with_holes,
        "A million holes must be priced as fast as ten: give them as a Lattice, which counts in closed form, and never "
        "walk its positions.",
        ("priced",),
    ),
)
