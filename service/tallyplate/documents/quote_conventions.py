"""How a quote sheet writes numbers, money, dates and lengths, and on which paper: as readers on either shore expect.

The words are English throughout. CLDR, through Babel, says how English is written in the United States and in Germany,
whose decimal comma and points between thousands most of Europe shares.
"""

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

KILOGRAMS_A_POUND: Final = Decimal("0.45359237")
"""The international avoirdupois pound, exactly."""


class Writing(Struct, frozen=True):
    """A convention: its locale, the pattern that money stands in, its paper as CSS names it, and its lengths."""

    locale: str
    money_pattern: str
    paper: str
    measure: Measure
    pounds: bool

    def money(self, amount: str, currency: str) -> str:
        """An amount with its ISO 4217 code, which no other currency shares a sign with."""
        shown = format_currency(Decimal(amount), currency, self.money_pattern, locale=self.locale)
        return shown.replace("-", MINUS)

    def amount(self, amount: str, currency: str) -> str:
        """An amount in a column that states the currency."""
        digits = minor_digits(currency)
        pattern = f"#,##0.{'0' * digits}" if digits else "#,##0"
        return format_decimal(Decimal(amount), pattern, locale=self.locale).replace("-", MINUS)

    def number(self, figure: str | int) -> str:
        """A decimal text with every decimal kept."""
        decimals = len(str(figure).partition(".")[2])
        pattern = f"#,##0.{'0' * decimals}" if decimals else "#,##0"
        return format_decimal(Decimal(figure), pattern, locale=self.locale)

    def date(self, day: date) -> str:
        """A date in words, since figures alone are read differently on either shore."""
        return format_date(day, "long", locale=self.locale)

    def country(self, code: str) -> str:
        """A country's name in English; its code where CLDR has none."""
        return str(Locale.parse(self.locale).territories.get(code, code))

    def length(self, millimetres: float) -> str:
        """A length without its unit."""
        return self.number(self.measure.size(millimetres))

    def mass(self, kilograms: str) -> str:
        """A mass to a tenth, in pounds too where they are used."""
        metric, pounds = (f"{mass:.1f}" for mass in (Decimal(kilograms), Decimal(kilograms) / KILOGRAMS_A_POUND))
        return f"{self.number(pounds)} lb ({self.number(metric)} kg)" if self.pounds else f"{self.number(metric)} kg"


WRITINGS: Final[dict[str, Writing]] = {
    "american": Writing("en_US", "¤¤ #,##0.00", "letter", MEASURES["in"], pounds=True),
    "european": Writing("en_DE", "#,##0.00 ¤¤", "A4", MEASURES["mm"], pounds=False),
}

INCHES: Final = {"US"}
"""Countries, by ISO 3166-1, that work in inches and print on Letter."""


def usual(*countries: str | None) -> Convention:
    """The convention of the first country that is known; European where none is."""
    known = next((country for country in countries if country), "")
    return "american" if known in INCHES else "european"
