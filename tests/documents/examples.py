"""One chart of each kind, of invented figures."""

from decimal import Decimal
from typing import Final

from tallyplate.documents.charts import Bar, Swing, tornado, waterfall

STEPS: Final = [Bar("stock", Decimal("680.10")), Bar("holes", Decimal("-193.20")), Bar("margin", Decimal("0.00"))]
IMPACT: Final = waterfall("Impact", Bar("old", Decimal("18460.20")), STEPS, "new", "USD")

SWINGS: Final = [
    Swing("cutting.bore_below", "0.03 mm", Decimal("0.00"), Decimal("36.04"), step=True),
    Swing("margin.of_price", "22 %", Decimal("-12.95"), Decimal("13.03")),
    Swing("materials.al-6061-t6.speeds.drilling", "1778 mm/s", Decimal("1.25"), Decimal("-1.16")),
    Swing("margin.of_price", "99.5 %", Decimal("-7.00"), None),
]
WORTHS: Final = tornado("Worth", SWINGS, "USD")
