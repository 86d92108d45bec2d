"""How a quote sheet writes numbers, money, dates and lengths, and on which paper: as readers on either shore expect.

The words are English throughout, and so is the decimal point: what is signed has it in its texts, and a sheet that also
wrote a decimal comma would have one figure in two ways. Outside the United States thousands stand apart by a space,
which nobody takes for either sign (ISO 80000-1, from memory). CLDR, through Babel, writes the rest.
"""

import re
from datetime import date
from decimal import Decimal
from typing import Final

from babel import Locale
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal
from msgspec import Struct

from tallyplate.documents.measures import MEASURES, Measure
from tallyplate.documents.quote_options import Convention
from tallyplate.documents.texts import MINUS
from tallyplate.money import minor_digits
from tallyplate.units import UnitError, length

KILOGRAMS_A_POUND: Final = Decimal("0.45359237")
"""The international avoirdupois pound, exactly."""

ISO_DATE: Final = re.compile(r"\b[0-9]{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])\b")


class Writing(Struct, frozen=True):
    """A convention: its locale, what parts thousands, the pattern of money, its paper as CSS names it, its lengths."""

    locale: str
    thousands: str
    money_pattern: str
    paper: str
    measure: Measure
    pounds: bool

    def money(self, amount: str, currency: str) -> str:
        """An amount with its ISO 4217 code, which no other currency shares a sign with."""
        return self._parted(format_currency(Decimal(amount), currency, self.money_pattern, locale=self.locale))

    def amount(self, amount: str, currency: str) -> str:
        """An amount in a column that states the currency."""
        digits = minor_digits(currency)
        pattern = f"#,##0.{'0' * digits}" if digits else "#,##0"
        return self._parted(format_decimal(Decimal(amount), pattern, locale=self.locale))

    def number(self, figure: str | int) -> str:
        """A decimal text with every decimal kept."""
        decimals = len(str(figure).partition(".")[2])
        pattern = f"#,##0.{'0' * decimals}" if decimals else "#,##0"
        return self._parted(format_decimal(Decimal(figure), pattern, locale=self.locale))

    def _parted(self, shown: str) -> str:
        """A figure as the locale writes it, with the sheet's own thousands and minus."""
        return shown.replace(",", self.thousands).replace("-", MINUS)

    def date(self, day: date) -> str:
        """A date in words, since figures alone are read differently on either shore."""
        return format_date(day, "long", locale=self.locale)

    def country(self, code: str) -> str:
        """A country's name in English; its code where CLDR has none."""
        return str(Locale.parse(self.locale).territories.get(code, code))

    def length(self, millimetres: float) -> str:
        """A length without its unit."""
        return self.number(self.measure.size(millimetres))

    def tolerance(self, millimetres: float) -> str:
        """A width that may not be exceeded, without its unit."""
        return self.number(self.measure.tolerance(millimetres))

    def spoken(self, text: str) -> str:
        """A customer's length in the customer's words, after the sheet's unit where that is another."""
        try:
            given = length(text)
        except UnitError:
            return text
        unit = self.measure.unit
        return text if text.endswith(unit) else f"{self.length(given.mm)} {unit} ({text})"

    def dated(self, text: str) -> str:
        """A text of the service with its dates written as all others are."""
        return ISO_DATE.sub(lambda found: self.date(date.fromisoformat(found[0])), text)

    def mass(self, kilograms: str) -> str:
        """A mass to a tenth, in pounds too where they are used."""
        metric, pounds = (f"{mass:.1f}" for mass in (Decimal(kilograms), Decimal(kilograms) / KILOGRAMS_A_POUND))
        return f"{self.number(pounds)} lb ({self.number(metric)} kg)" if self.pounds else f"{self.number(metric)} kg"


WRITINGS: Final[dict[str, Writing]] = {
    "american": Writing("en_US", ",", "¤¤ #,##0.00", "letter", MEASURES["in"], pounds=True),
    "european": Writing("en_GB", " ", "#,##0.00 ¤¤", "A4", MEASURES["mm"], pounds=False),
}

INCHES: Final = {"US"}
"""Countries, by ISO 3166-1, that work in inches and print on Letter."""


def usual(*countries: str | None) -> Convention:
    """The convention of the first country that is known; European where none is."""
    known = next((country for country in countries if country), "")
    return "american" if known in INCHES else "european"
