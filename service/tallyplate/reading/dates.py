"""Dates: ISO, written out, in figures where only one order of day and month is possible, and "in two weeks"."""

import re
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from msgspec import Struct

from tallyplate.inquiry import YEARS
from tallyplate.reading.items import Made, Named, item
from tallyplate.reading.numbers import number
from tallyplate.reading.tokens import Token, in_order, words

_MONTHS: Final = in_order("january february march april may june july august september october november december")
MONTHS: Final = {
    **{name: place for place, name in enumerate(_MONTHS, start=1)},
    **{name[:3]: place for place, name in enumerate(_MONTHS, start=1)},
    "sept": 9,
}
WEEKDAYS: Final = words("monday tuesday wednesday thursday friday saturday sunday mon tue wed thu fri sat sun")
SPANS: Final = {"day": 1, "days": 1, "week": 7, "weeks": 7}

YEAR_DIGITS: Final = 4
MOST_PIECES: Final = 8
"""Tokens in which the parts of a written date are looked for."""
MOST_AHEAD: Final = 1000
"""Most days or weeks that a span is read for."""

LEFT_OUT: Final = frozenset(("st", "nd", "rd", "th", "of", "-"))
"""What may stand between the parts of a written date."""


def found(tokens: Sequence[Token], at: int, written: date | None) -> Made | None:
    """The date that begins at a token; `written` is the date of the note."""
    return _figures(tokens, at) or _spelled(tokens, at, written) or _span(tokens, at, written) or _vague(tokens, at)


def _figures(tokens: Sequence[Token], at: int) -> Made | None:
    """A date in figures; one whose day and month could change places names no certain day."""
    parted = _parts(tokens, at)
    days = _days(*parted[0]) if parted else ()
    if not parted or not days:
        return None
    why = "day and month could stand in either order"
    several = len(days) > 1
    named = Named(None, tuple(day.isoformat() for day in days), why) if several else Named(days[0].isoformat())
    return item("date", tokens, at, parted[1], named)


def _parts(tokens: Sequence[Token], at: int) -> tuple[tuple[str, ...], int] | None:
    """The mark and the three parts of a date in figures, and the token after them."""
    first = tokens[at]
    if first.kind != "figure" or first.before.isalnum() or first.before in {"-", "/", "."}:
        return None
    if dotted := re.fullmatch(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})", first.text):
        return (".", *dotted.groups()), at + 1
    pieces = tokens[at : at + 5]
    text = "".join(one.text for one in pieces)
    dashed = re.fullmatch(r"([0-9]{1,4})([-/])([0-9]{1,2})\2([0-9]{1,4})", text)
    if dashed is None or pieces[-1].end - first.start != len(text):
        return None
    beyond = tokens[at + 5] if at + 5 < len(tokens) else None
    if beyond and beyond.start == pieces[-1].end and beyond.text in {"-", "/"}:
        return None
    return (dashed[2], dashed[1], dashed[3], dashed[4]), at + 5


def _days(mark: str, first: str, second: str, third: str) -> tuple[date, ...]:
    """The days that three parts can be: the year first, or last behind day and month in either order.

    Between dots the day comes first (DIN 1355-1, from memory).
    """
    one, two, three = int(first), int(second), int(third)
    if len(first) == YEAR_DIGITS:
        orders = [(one, two, three)]
    elif len(third) == YEAR_DIGITS:
        orders = [(three, two, one), (three, one, two)][: 1 if mark == "." else 2]
    else:
        orders = []
    return tuple(dict.fromkeys(day for order in orders if (day := _day(*order))))


class _Spelled(Struct):
    """What has been found of a date that is written out."""

    day: int = 0
    month: int = 0
    year: int = 0

    def takes(self, token: Token) -> bool:
        """Take a token as a part that is still wanting."""
        short = token.kind == "figure" and re.fullmatch("[0-9]{1,2}", token.text)
        if short and not self.day:
            self.day = int(token.text)
        elif token.text in MONTHS and not self.month:
            self.month = MONTHS[token.text]
        elif self.day and self.month and not self.year and re.fullmatch("[0-9]{4}", token.text):
            self.year = int(token.text)
        else:
            return False
        return True


def _spelled(tokens: Sequence[Token], at: int, written: date | None) -> Made | None:
    """15 April 2026, 15th of April, April 15, 2026, 15-Apr-2026."""
    said, then = _Spelled(), at
    for place in range(at, min(at + MOST_PIECES, len(tokens))):
        token = tokens[place]
        if said.takes(token):
            then = place + 1
        elif place == at or not (token.text in LEFT_OUT or (token.text == "," and said.day and said.month)):
            break
    if not (said.day and said.month) or tokens[at].before.isalnum() or tokens[at].before in {"-", "/"}:
        return None
    named = _of_parts(said, written)
    return item("date", tokens, at, then, named) if named else None


def _of_parts(said: _Spelled, written: date | None) -> Named | None:
    """The day of a written date; without its year the first one from the date of the note."""
    if said.year:
        day = _day(said.year, said.month, said.day)
        return Named(day.isoformat()) if day else None
    if written is None:
        return Named(None, (), "its year is not said, and the date of the note neither")
    years = (written.year, written.year + 1)
    coming = [day for year in years if (day := _day(year, said.month, said.day)) and day >= written]
    because = f"the first such day from the date of the note, {written.isoformat()}"
    return Named(coming[0].isoformat(), because=because) if coming else None


def _span(tokens: Sequence[Token], at: int, written: date | None) -> Made | None:
    """In two weeks, within 10 days."""
    if tokens[at].text not in {"in", "within"} or at + 1 >= len(tokens):
        return None
    many = number(tokens, at + 1)
    named = tokens[many.after].text if many and many.after < len(tokens) else ""
    if many is None or named not in SPANS or many.amount.denominator != 1 or many.amount > MOST_AHEAD:
        return None
    after = many.after + 1
    if written is None:
        return item("date", tokens, at, after, Named(None, (), "the date of the note is not said"))
    day = written + timedelta(days=SPANS[named] * int(many.amount))
    if day.year not in YEARS:
        return None
    because = f"counted from the date of the note, {written.isoformat()}"
    return item("date", tokens, at, after, Named(day.isoformat(), because=because))


def _vague(tokens: Sequence[Token], at: int) -> Made | None:
    """Days that are named without a date: Friday, next week, the end of March."""
    texts = [one.text for one in tokens[at : at + 3]]
    for many, texts_of in ((3, _end_of), (2, _next), (1, _weekday)):
        if len(texts) >= many and texts_of(texts):
            return item("date", tokens, at, at + many, Named(None, (), "names no certain day"))
    return None


def _end_of(texts: Sequence[str]) -> bool:
    return (
        texts[0] in {"end", "middle", "start"} and texts[1] == "of" and texts[2] in {*MONTHS, "next", "week", "month"}
    )


def _next(texts: Sequence[str]) -> bool:
    return texts[0] in {"next", "mid", "early", "late"} and texts[1] in {*WEEKDAYS, *MONTHS, "week", "month"}


def _weekday(texts: Sequence[str]) -> bool:
    return texts[0] in WEEKDAYS and texts[0] not in {"sun", "mon", "sat", "wed"}


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day) if year in YEARS else None
    except ValueError:
        return None
