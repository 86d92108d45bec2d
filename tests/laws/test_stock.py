"""Law 8: the blank chosen is the cheapest that fits, so that another stock size or form never makes a plate dearer."""

from fractions import Fraction

from hypothesis import assume, example, given
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.contract import Blank, Build, Length, Millimetres, PerKilogram, Refusal, Sheet, ShopData, Usual
from tallyplate.inquiry import read
from tallyplate.rates.card import RateCard
from tests.laws.prices import made, one_blank, priced
from tests.plates import installation
from tests.strategies import CARD, SHOP, UM, Json, exact, plates, requests


def every_blank_that_fits(build: Build) -> list[Blank]:
    """Each stock thickness of each form that leaves the plate its clean-up, not only the thinnest of each."""
    body = build.body
    blanks = []
    for form, sheet in SHOP.materials[body.material].stock.items():
        sides = [exact(side) + 2 * exact(sheet.edge_allowance) for side in (body.length, body.width)]
        if max(sides) > exact(sheet.longest) or min(sides) > exact(sheet.widest):
            continue
        needed = exact(body.thickness) + 2 * exact(sheet.clean_up)
        length, width = map(float, sides)
        blanks += [Blank(form, length, width, float(size)) for size in sheet.thicknesses if exact(size) >= needed]
    return blanks


SECOND_FORM: Json = {
    "family": "rectangular",
    "length": "300 mm",
    "width": "200 mm",
    "thickness": "50.2 mm",
    "material": "al-6061-t6",
}
"""A plate that two forms serve, the second of them for less: it is thinner by more than it is dearer."""


@given(requests())
@example({"plate": SECOND_FORM, "quantity": 1})
def test_no_stock_that_fits_would_be_cheaper_than_the_one_chosen(request: Json) -> None:
    build, quantity = made(request["plate"]), request["quantity"]
    chosen = priced(build, quantity)
    by_hand = {
        blank: priced(one_blank(replace(build, blank=blank)), quantity).total for blank in every_blank_that_fits(build)
    }
    assert chosen.total == min(by_hand.values())


def with_stock(material: str, stock: dict[str, Sheet]) -> ShopData:
    """The shop with other stock of a material."""
    changed = replace(SHOP.materials[material], stock=stock)
    return replace(SHOP, materials=SHOP.materials | {material: changed})


def total(plate: Json, quantity: int, shop: ShopData, card: RateCard = CARD) -> int | None:
    """What an order costs in a shop, or None where it has no stock for the plate."""
    families = installation().families
    spec = read({"plate": plate}, families).plate
    try:
        build = families[plate["family"]].build(spec, shop, Usual())
    except Refusal:
        return None
    return priced(build, quantity, shop, card).total


def never_dearer(before: int | None, after: int | None) -> bool:
    """Whether a plate costs no more than before; one that no stock held cost more than any."""
    return before is None or (after is not None and after <= before)


def in_shop_data(mm: Fraction) -> Length:
    """A length as shop data hold it."""
    return Length(float(mm), f"{float(mm)} mm")


@given(st.data(), requests())
def test_another_stock_thickness_never_makes_a_plate_dearer(data: st.DataObject, request: Json) -> None:
    plate, quantity = request["plate"], request["quantity"]
    form, sheet = data.draw(st.sampled_from(sorted(SHOP.materials[plate["material"]].stock.items())))
    body, clean_up = made(plate).body, 2 * exact(sheet.clean_up)
    fits = st.sampled_from([exact(body.thickness) + clean_up + more for more in (Fraction(0), -UM, UM, Fraction(5))])
    new = in_shop_data(data.draw(fits, label="new thickness in mm"))
    assume(new not in sheet.thicknesses)
    wider = replace(sheet, thicknesses=tuple(sorted((*sheet.thicknesses, new))))
    stock = SHOP.materials[plate["material"]].stock | {form: wider}
    assert never_dearer(total(plate, quantity, SHOP), total(plate, quantity, with_stock(plate["material"], stock)))


@given(requests(), st.integers(0, 9999), st.integers(1, 60), st.integers(0, 30))
def test_another_form_of_stock_never_makes_a_plate_dearer(request: Json, cents: int, extra: int, edge: int) -> None:
    plate, quantity = request["plate"], request["quantity"]
    old = SHOP.materials[plate["material"]].stock
    thickness = in_shop_data(exact(made(plate).body.thickness) + extra)
    offcut = replace(next(iter(old.values())), thicknesses=(thickness,), edge_allowance=Millimetres(edge))
    prices = CARD.sections["stock"].price
    own = prices[plate["material"]] | {"offcut": PerKilogram(cents, 2)}
    section = replace(CARD.sections["stock"], price=prices | {plate["material"]: own})
    card = replace(CARD, sections=CARD.sections | {"stock": section})
    shop = with_stock(plate["material"], old | {"offcut": offcut})
    assert never_dearer(total(plate, quantity, SHOP, card), total(plate, quantity, shop, card))


@given(plates(materials=("al-6061-t6",)), st.sampled_from(("plate", "precision plate")))
def test_a_form_out_of_stock_never_makes_a_plate_cheaper(plate: Json, gone: str) -> None:
    stock = {form: sheet for form, sheet in SHOP.materials["al-6061-t6"].stock.items() if form != gone}
    assert never_dearer(total(plate, 1, with_stock("al-6061-t6", stock)), total(plate, 1, SHOP))
