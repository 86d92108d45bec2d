"""Lengths with their units, and sizes of a box: 18 mm, an inch and a half, half a thou, 24 x 16 x 1.5 in."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from tallyplate.reading import dates
from tallyplate.reading.items import Factor, Kind, Made, Measure, item, plain
from tallyplate.reading.numbers import DIMENSION, Number, number, part_in_words
from tallyplate.reading.tokens import Token, words

UNITS: Final = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("um", "µm", "μm", "micron", "microns", "micrometre", "micrometres"), "um"),
    **dict.fromkeys(("in", "inch", "inches", "ins", '"', "\u2033", "\u201d"), "in"),
    **dict.fromkeys(("ft", "foot", "feet"), "ft"),
    **dict.fromkeys(("thou", "thous"), "thou"),
}

INCH_MARKS: Final = frozenset(('"', "\u2033", "\u201d"))

AFTER_INCHES: Final = words(
    "thick thk thickness long wide high tall deep x by dia diameter round centres centers centre center pitch grid "
    "spacing square apart tee plate plates fixture disc tombstone tombstones "
    "margin flat true l w t h length width height slots slot wall od and or to"
)
"""Words before which "in" is a unit; before others it may as well be the preposition, as in "3 in steel"."""

ROLES: Final = {
    **dict.fromkeys(("l", "long", "length", "lg"), "length"),
    **dict.fromkeys(("w", "wide", "width", "wd"), "width"),
    **dict.fromkeys(("t", "thk", "thick", "thickness"), "thickness"),
    **dict.fromkeys(("h", "high", "tall", "height"), "height"),
    **dict.fromkeys(("dia", "diameter", "od"), "diameter"),
}
"""What one of the sizes of a box may be called behind it."""

GLUED: Final = frozenset({*UNITS, *ROLES, *DIMENSION, "off", "pcs", "pc", "ea", "k", "by", "no", "nos"})
"""Words that may directly follow figures; before others these are part of a name."""

ACROSS: Final = frozenset(("\u00f8", "\u2300", "dia", "diameter"))
"""What may stand before the first of several sizes to say that it is a diameter."""

MOST_FACTORS: Final = 3
MOST_READ: Final = 6
"""Sizes that are looked at in a row; more than three are none."""


def length(tokens: Sequence[Token], at: int) -> tuple[Measure, int] | None:
    """A number, with its unit where one follows, and the token after it."""
    if spoken := _inch_and(tokens, at):
        return spoken
    found = number(tokens, at)
    if found is None or _named(tokens, found.after - 1):
        return None
    then = found.after
    # An eighth of an inch, half an inch, two-inch.
    joining = next((steps for steps in (2, 1) if _joins(tokens[then : then + steps], steps)), 0)
    then += joining if _word_unit(tokens, then + joining) else 0
    unit = _unit(tokens, then)
    if unit is None:
        return Measure(found, None, then < len(tokens) and tokens[then].text in {"in", *INCH_MARKS}), found.after
    then += 2 if tokens[then].text == "'" else 1
    if then < len(tokens) and tokens[then].text == "." and tokens[then].kind == "mark":
        then += 1
    if unit == "thou":
        amount = found.amount / 1000
        return Measure(Number(amount, plain(amount), then, found.doubtful), "in"), then
    if unit == "in" and then < len(tokens) and tokens[then].text == "and":
        part = part_in_words(tokens, then + 1)
        if part and found.amount.denominator == 1 and not _word_unit(tokens, part.after):
            return Measure(
                Number(found.amount + part.amount, f"{found.text} {part.text}", part.after), "in"
            ), part.after
    return Measure(found, unit), then


def _joins(pieces: Sequence[Token], steps: int) -> bool:
    texts = [one.text for one in pieces]
    return texts == ["of", "an"] if steps > 1 else texts[:1] in (["-"], ["a"], ["an"], ["of"])


def _inch_and(tokens: Sequence[Token], at: int) -> tuple[Measure, int] | None:
    """An inch, inch and a half, a thou: the number is in the word."""
    then = at + (tokens[at].text in {"a", "an"} and at + 1 < len(tokens))
    word = tokens[then].text
    if word == "thou":
        return Measure(Number(Fraction(1, 1000), "0.001", then + 1), "in"), then + 1
    if word != "inch":
        return None
    if then + 1 < len(tokens) and tokens[then + 1].text == "and":
        part = part_in_words(tokens, then + 2)
        if part:
            return Measure(Number(1 + part.amount, f"1 {part.text}", part.after), "in"), part.after
    return Measure(Number(Fraction(1), "1", then + 1), "in"), then + 1


def _named(tokens: Sequence[Token], last: int) -> bool:
    """Whether letters that are no unit follow figures directly, as in 3D or 24TX."""
    following = tokens[last + 1] if last + 1 < len(tokens) else None
    glued = following is not None and following.start == tokens[last].end and following.kind == "word"
    return bool(glued and following and tokens[last].kind == "figure" and following.text not in GLUED)


def _word_unit(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].text in UNITS and tokens[at].kind == "word" and tokens[at].text != "m"


def _unit(tokens: Sequence[Token], at: int) -> str | None:
    """The unit at a token, where it is one for certain."""
    if at >= len(tokens):
        return None
    text, glued = tokens[at].text, tokens[at].start == tokens[at - 1].end
    following = tokens[at + 1] if at + 1 < len(tokens) else None
    touching = following is not None and following.start == tokens[at].end
    if text == "'":
        return "in" if glued and touching and following and following.text == "'" else None
    if text in INCH_MARKS and (not glued or _quoting(tokens, at)):
        return None
    if text == "m" and touching and following and following.kind == "figure":
        return None
    if text == "in" and not glued and following and not _behind_inches(following):
        return None
    return UNITS.get(text)


def _behind_inches(following: Token) -> bool:
    """Whether "in" before this is the unit rather than the preposition."""
    return following.text in AFTER_INCHES if following.kind == "word" else following.kind != "figure"


def _quoting(tokens: Sequence[Token], at: int) -> bool:
    """Whether this mark closes a quotation that another, before a word or figure, opened in the same sentence."""
    for one in tokens[max(0, at - LOOK_BACK) : at][::-1]:
        if one.kind == "end":
            return False
        if one.text in {'"', "\u201c"} and one.before in {"", " ", "\n", "("}:
            return True
    return False


LOOK_BACK: Final = 40
"""Tokens in which the start of a quotation is looked for."""


def size(tokens: Sequence[Token], at: int) -> Made | None:
    """Two or three lengths with an x or a "by" between them, each perhaps with what it is."""
    factors: list[Factor] = []
    last = at
    while len(factors) < MOST_READ and (found := length(tokens, last) if last < len(tokens) else None):
        measure, after = found
        role = ROLES.get(tokens[after].text, "") if after < len(tokens) else ""
        if role and len(tokens[after].text) == 1 and _joined_to_mark(tokens, after):
            role = ""
        start, last = tokens[last].start, after + bool(role)
        if not role and not factors and at and tokens[at - 1].text in ACROSS:
            role = "diameter"
        factors.append(Factor(measure, role, start, tokens[last - 1].end))
        if last + 1 >= len(tokens) or tokens[last].text not in {*DIMENSION, "by"}:
            break
        if tokens[last].text == "by" and dates.found(tokens, last + 1, None):
            # Three by 1 June.
            break
        last += 1
    else:
        # It ends with an x: what it is that is counted or cut off here cannot be told.
        return item("code", tokens, at, last - 1) if len(factors) > 1 else None
    if len(factors) < 2:  # noqa: PLR2004 - one length is no size of a box
        return None
    sized = len(factors) <= MOST_FACTORS and all(one.measure.number.amount for one in factors)
    kind: Kind = "size" if sized else "code"
    return item(kind, tokens, at, last, tuple(factors))


def _joined_to_mark(tokens: Sequence[Token], at: int) -> bool:
    """Whether a letter belongs to what follows, as in T-slot."""
    following = tokens[at + 1] if at + 1 < len(tokens) else None
    return bool(following and following.start == tokens[at].end and following.text in {"-", "."})
