"""Numbers as people write and say them: 1.875, 1 7/8, 1-7/8, 1½, five eighths, two and a half."""

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from msgspec import Struct

from tallyplate.reading.tokens import Token, in_order

_ONES: Final = in_order(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
)
ONES: Final = {word: number for number, word in enumerate(_ONES, start=1)}
_TENS: Final = in_order("twenty thirty forty fifty sixty seventy eighty ninety")
TENS: Final = {word: 10 * number for number, word in enumerate(_TENS, start=2)}
PARTS: Final = {
    "half": 2,
    "halves": 2,
    "quarter": 4,
    "quarters": 4,
    "eighth": 8,
    "eighths": 8,
    "sixteenth": 16,
    "sixteenths": 16,
}
VULGAR: Final = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

LONGEST: Final = 9
"""Digits of the longest figure that is read as a number."""

DIMENSION: Final = frozenset({"x", "\u00d7", "*"})
"""Marks between the sizes of a box."""

PLAIN_BEFORE: Final = frozenset("([{,;:=\"'\u00b1~$\u20ac\u00a3\u00f8\u2300@+<>")
"""What a number may directly follow."""

UNDERS: Final = frozenset((2, 4, 8, 16, 32, 64))
"""Denominators of inch fractions."""


class Number(Struct, frozen=True):
    """A number, how it is written in the strict grammar, and the token after it.

    `doubtful` says why its value is not certain, and `readings` what it could be.
    """

    amount: Fraction
    text: str
    after: int
    doubtful: str = ""
    readings: tuple[str, ...] = ()


def number(tokens: Sequence[Token], at: int) -> Number | None:
    """The number that begins at a token, in figures or in words."""
    token = tokens[at]
    if token.text in VULGAR:
        over, under = map(int, VULGAR[token.text].split("/"))
        return Number(Fraction(over, under), VULGAR[token.text], at + 1)
    if token.kind == "figure":
        return _figures(tokens, at) if free(tokens, at) else None
    return _words(tokens, at) if token.kind == "word" else None


def free(tokens: Sequence[Token], at: int) -> bool:
    """Whether a figure stands by itself, rather than inside a part number, a telephone number or a date."""
    token = tokens[at]
    before = tokens[at - 1] if at and tokens[at - 1].end == token.start else None
    glued = token.before and not token.before.isspace() and token.before.lower() not in PLAIN_BEFORE
    if glued and not (before and before.text in DIMENSION and _sized(tokens, at - 2)):
        return False
    if before and before.text == ":" and before.before.isdigit():
        return False
    return not _goes_on(tokens, at)


def _sized(tokens: Sequence[Token], at: int) -> bool:
    return at >= 0 and (tokens[at].kind == "figure" or tokens[at].text in {"mm", "cm", "in", "ft", '"', "''", "″"})


def _goes_on(tokens: Sequence[Token], at: int) -> bool:
    """Whether digits go on after a mark, as in 555-0142, 2026-03-04, 10:30 or 3/4/26; a fraction is none of these."""
    mark = _glued(tokens, at, 1)
    beyond = _glued(tokens, at, 2)
    if not mark or not beyond or mark.text in DIMENSION:
        return False
    if mark.text == "/":
        return not _fraction(tokens, at)
    if mark.text == "-":
        return beyond.kind == "figure" and not _fraction(tokens, at + 2)
    return mark.text in {":", "_", "."} and beyond.kind == "figure"


def _glued(tokens: Sequence[Token], at: int, steps: int) -> Token | None:
    """The token some steps on, where no space parts them."""
    here = tokens[at : at + steps + 1]
    joined = len(here) > steps and all(one.end == two.start for one, two in pairwise(here))
    return here[-1] if joined else None


def _fraction(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """The inch fraction at a token, such as 7/8; of two digits at most, and not followed by another slash."""
    mark, under = _glued(tokens, at, 1), _glued(tokens, at, 2)
    over = tokens[at].text if at < len(tokens) and tokens[at].kind == "figure" else ""
    if not (mark and under and mark.text == "/" and re.fullmatch("[0-9]{1,2}", over)):
        return None
    beyond = _glued(tokens, at, 3)
    if under.text not in {str(one) for one in UNDERS} or int(over) == 0 or (beyond and beyond.text == "/"):
        return None
    return int(over), int(under.text)


def _figures(tokens: Sequence[Token], at: int) -> Number | None:
    if part := _fraction(tokens, at):
        return Number(Fraction(*part), f"{part[0]}/{part[1]}", at + 3)
    whole = tokens[at].text
    if len(whole) > LONGEST + 6:
        return None
    if whole.isdigit() and (mixed := _mixed(tokens, at)):
        return mixed
    return written(whole, at + 1)


def _mixed(tokens: Sequence[Token], at: int) -> Number | None:
    """A whole number and a fraction: 1 7/8, 1-7/8, 1½, 1 and 7/8, 2 and a half."""
    whole, then = int(tokens[at].text), at + 1
    if then < len(tokens) and tokens[then].text in VULGAR and tokens[then].start - tokens[at].end <= 1:
        over, under = map(int, VULGAR[tokens[then].text].split("/"))
        return Number(whole + Fraction(over, under), f"{whole} {over}/{under}", then + 1)
    if then < len(tokens) and tokens[then].text in {"-", "and"}:
        then += 1
    if part := _fraction(tokens, then):
        near = tokens[then].start - tokens[at].end <= len(" and ")
        if near and Fraction(*part) < 1:
            return Number(whole + Fraction(*part), f"{whole} {part[0]}/{part[1]}", then + 3)
    if then > at + 1 and tokens[then - 1].text == "and" and (spoken := part_in_words(tokens, then)):
        return Number(whole + spoken.amount, f"{whole} {spoken.text}", spoken.after)
    return None


def written(text: str, after: int) -> Number | None:
    """A figure with dots or commas. A comma before three digits could part thousands or decimals."""
    if text[0] in ".,":
        return written(f"0{text}", after)
    if re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,9})?", text):
        return Number(Fraction(text), text, after)
    if re.fullmatch(r"[0-9]{1,9},([0-9]{1,2}|[0-9]{4,9})", text) or re.fullmatch(r"0,[0-9]{3}", text):
        plain = text.replace(",", ".")
        return Number(Fraction(plain), plain, after)
    if re.fullmatch(r"[0-9]{1,3},[0-9]{3}", text):
        readings = (text.replace(",", ""), text.replace(",", "."))
        return Number(Fraction(readings[0]), readings[0], after, "its comma could part thousands or decimals", readings)
    return None


def part_in_words(tokens: Sequence[Token], at: int) -> Number | None:
    """A fraction in words: half, a quarter, five eighths, three-quarters."""
    then, over = at, 1
    if then < len(tokens) and tokens[then].text in {"a", *ONES}:
        over = ONES.get(tokens[then].text, 1)
        then += 1
        if then < len(tokens) and tokens[then].text == "-":
            then += 1
    if then < len(tokens) and tokens[then].text in PARTS:
        under = PARTS[tokens[then].text]
        return Number(Fraction(over, under), f"{over}/{under}", then + 1) if over < under else None
    return None


def _words(tokens: Sequence[Token], at: int) -> Number | None:
    if part := part_in_words(tokens, at):
        return part
    word = tokens[at].text
    whole, then = ONES.get(word, TENS.get(word)), at + 1
    if whole is None:
        return None
    if word in TENS:
        dashed = then < len(tokens) and tokens[then].text == "-"
        unit = tokens[then + dashed].text if then + dashed < len(tokens) else ""
        if ONES.get(unit, 10) < 10:  # noqa: PLR2004 - twenty-nine is the last
            whole, then = whole + ONES[unit], then + 1 + dashed
    if then < len(tokens) and tokens[then].text == "hundred":
        whole, then = 100 * whole, then + 1
    if then < len(tokens) and tokens[then].text == "and" and (part := part_in_words(tokens, then + 1)):
        return Number(whole + part.amount, f"{whole} {part.text}", part.after)
    return Number(Fraction(whole), str(whole), then)
