"""Texts from anywhere, made fit to be shown: no control characters, and no longer than their place."""

from decimal import Decimal
from typing import Final
from unicodedata import category, east_asian_width

ELLIPSIS: Final = "\u2026"
MINUS: Final = "\u2212"


def printable(text: str) -> str:
    """A text on one line without control characters, half characters and marks that turn the reading direction."""
    kept = (" " if sign.isspace() else sign for sign in text if sign.isspace() or not category(sign).startswith("C"))
    return " ".join("".join(kept).split())


def width(text: str) -> int:
    """The columns that a text takes; signs of East Asian scripts take two."""
    return sum(2 if east_asian_width(sign) in {"W", "F"} else 1 for sign in text)


def shortened(text: str, room: int) -> str:
    """A printable text in so many columns; what is too long loses its middle, since paths differ at the ends."""
    text = printable(text)
    if width(text) <= room:
        return text
    head, tail = text[:room], text[-room:]
    while width(head) > room // 2:
        head = head[:-1]
    while width(tail) > (room - 1) // 2:
        tail = tail[1:]
    return head.rstrip() + ELLIPSIS + tail.lstrip()


def grouped(amount: Decimal) -> str:
    """An amount for reading: thousands parted, every decimal kept."""
    return f"{amount:,f}".replace("-", MINUS)


def signed(amount: Decimal) -> str:
    """A change in an amount for reading, with its sign where there is any change."""
    return f"{amount:+,f}".replace("-", MINUS) if amount else grouped(abs(amount))
