"""The parts list has the plugs of a lid with each plate, and the spares with the order alone."""

from tallyplate.contract import Services, Spares
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.parts import parts
from tests.plates import installation, request


def _parts(services: Services | None) -> list[tuple[str, str, str, int, int]]:
    made = installation().build(request({"/plate/pattern/screw": "M12"}))
    return [
        (one.item, one.kind, one.standard, one.each, one.total)
        for one in parts(made.build, made.shop, 3, MEASURES["mm"], services)
    ]


def test_plugs_go_with_each_plate_and_spares_with_the_order() -> None:
    plain = _parts(None)
    services = Services(spares=Spares(bushings={"M12": 4}, plugs={"M12": 5}, screws={"1/2-13": 6}), plugs="every_hole")
    served = _parts(services)
    assert served[: len(plain)] == plain == _parts(Services())
    lid, *spares = served[len(plain) :]
    made = installation().build(request({"/plate/pattern/screw": "M12"}))
    count = sum(group.count for group in made.build.holes if not group.mounting)
    assert lid == ("Hole plug", "plug", "", count, 3 * count)
    assert spares == [
        ("Spare press-fit bushing", "bushing", "", 0, 4),
        ("Spare hole plug", "plug", "", 0, 5),
        ("Spare socket head cap screw", "screw", "ASME B18.3", 0, 6),
    ]


def test_material_that_the_customer_sends_is_called_so() -> None:
    made = installation().build(request({"/plate/material_supplied": True}))
    stock = parts(made.build, made.shop, 1, MEASURES["mm"])[0]
    assert stock.designation.endswith("mm, supplied by the customer")
