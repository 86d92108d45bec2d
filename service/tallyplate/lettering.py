"""The engraved names of columns and rows: letters and numbers, and how many characters they take."""

from tallyplate.columns.parting import remembered


def letters(number: int) -> str:
    """The name of a column, counted from 1: A to Z, then AA, AB and on."""
    name = ""
    while number > 0:
        number, letter = divmod(number - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


@remembered(1024)
def characters(count: int, base: int, zero_based: bool) -> int:
    """Characters in the names of the first `count` columns (letters, base 26) or rows (numbers, base 10 from 1).

    Closed form over the lengths of names; `zero_based` tells numerals, whose first digit is not 0, from letters.
    """
    total, width, first = 0, 1, 1
    while first <= count:
        in_width = base**width - (base ** (width - 1) if zero_based else 0)
        here = min(in_width, count - first + 1)
        total += here * width
        first += here
        width += 1
    return total


def letter_characters(count: int) -> int:
    """Characters engraved to letter `count` columns: A..Z one each, AA..ZZ two."""
    return characters(count, 26, zero_based=False)


def number_characters(count: int) -> int:
    """Characters engraved to number `count` rows from 1: 1..9 one each, 10..99 two."""
    return characters(count, 10, zero_based=True)
