"""Every check of a cost module, in the order that its author meets them."""

from typing import Final

from tallyplate.proof.laws_of_money import lines_that_bear_out
from tallyplate.proof.laws_of_orders import more_plates, times_as_many
from tallyplate.testkit import charges, declared, promises, purity
from tallyplate.testkit.check import Check, on_bench
from tallyplate.testkit.growth_of_builds import cheaper_when_grown, cheaper_with_more_holes
from tallyplate.testkit.work import charges_by_the_hole

CHARGED: Final = ("charges",)
PRICED: Final = ("charges", "work_centers", "says_the_same_again")

CHECKS: Final = (
    *declared.CHECKS,
    Check(
        "charges",
        charges.bad_charges,
        "Give Charge values with an item to read, and quantities that are finite and at least 0: what costs nothing is "
        "no charge, and there are no credits. Price every build that the contract can say, whoever made it.",
        (declared.SECTIONS,),
    ),
    Check(
        "work_centers",
        charges.bad_work_centers,
        "Time is charged with work(item, seconds, work_center) to a centre that the module's work_centers declare; one "
        "that is new stands in example_rates and example_figures too. All else names a rate of the module's own.",
        CHARGED,
    ),
    Check(
        "own_rates",
        charges.made_up_rates,
        "Finance must be able to change every price: declare the figure in the struct of rates, and charge at that.",
        PRICED,
    ),
    Check(
        "dimension",
        charges.wrong_dimension,
        "Quantities are in the unit of the rate: hours (work() takes seconds), kg, m2, pieces.",
        PRICED,
    ),
    *purity.checks(CHARGED),
    Check(
        "reads_no_blank",
        promises.reads_blank,
        "Leave out reads_blank=False, or look at build.body instead: what is said not to change is asked once.",
        PRICED,
    ),
    Check(
        "reads_no_order",
        promises.reads_order,
        "Leave out reads_order=False, or give per_plate and per_order, which the engine multiplies: what is said not "
        "to change is asked once.",
        PRICED,
    ),
    Check(
        "any_order_of_modules",
        promises.sees_the_order_of_modules,
        "Add up earlier lines (purchases, labour, subtotal); never go by their place.",
        PRICED,
    ),
    Check(
        "lines_bear_out",
        on_bench(lines_that_bear_out),
        "Charge at the rates that the rate card holds, as they are: the engine multiplies and rounds.",
        PRICED,
    ),
    Check(
        "greater_never_cheaper",
        cheaper_when_grown,
        "A build that has more must not cost less: no term may fall with a size, a depth, a mark or a tolerance.",
        PRICED,
    ),
    Check(
        "more_holes_never_cheaper",
        cheaper_with_more_holes,
        "A hole more never saves: reckon with the solid body (body.surface, body.volume) and give no credit for chips.",
        PRICED,
    ),
    Check(
        "more_plates_never_cheaper",
        on_bench(more_plates),
        "Quantity breaks must be graduated: give PriceBreaks as the rate, or per_plate and per_order.",
        PRICED,
    ),
    Check(
        "times_as_many_never_dearer",
        on_bench(times_as_many),
        "What an order takes once is per_order, what a plate takes per_plate, and whole lots are `lot`: let the engine "
        "multiply by the quantity.",
        PRICED,
    ),
    Check(
        "higher_rates_never_cheaper",
        charges.cheaper_at_higher_rates,
        "A figure of the rate card that lowers prices when it rises is a discount: state what is left instead.",
        PRICED,
    ),
    Check(
        "work_of_holes",
        charges_by_the_hole,
        "A million holes must be priced as fast as ten: use group.count and group.layout.path, which are closed-form, "
        "and never walk positions.",
        PRICED,
    ),
)
