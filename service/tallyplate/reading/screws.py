"""Screws by their designations and as they are said: M12, M12x1.75, 1/2-13, half-thirteen, three-eighths sixteen."""

from collections.abc import Mapping, Sequence
from typing import Final

from tallyplate.contract import Screw
from tallyplate.reading.items import Made, Named, item
from tallyplate.reading.numbers import DIMENSION, ONES, Number, number
from tallyplate.reading.tokens import Token

THREADS: Final = frozenset((7, 8, 9, 10, 11, 12, 13, 14, 16, 18, 20, 24, 28, 32))
"""Threads an inch of the unified series, coarse and fine, from a quarter to an inch (from memory)."""

LARGEST_METRIC: Final = 100

NEAR: Final = 1e-6
"""Millimetres within which two pitches are the same."""


def screw(tokens: Sequence[Token], at: int, offered: Mapping[str, Screw]) -> Made | None:
    """The screw that begins at a token, by its name on offer; one that is not on offer has none."""
    return _metric(tokens, at, offered) or _inch(tokens, at, offered)


def _metric(tokens: Sequence[Token], at: int, offered: Mapping[str, Screw]) -> Made | None:
    """M12, M 12, M12x1.75, M12s."""
    token = tokens[at]
    figure = tokens[at + 1] if at + 1 < len(tokens) else None
    apart = token.before.isalnum() or token.before in {"-", "/", "_"}
    if token.text != "m" or apart or figure is None or figure.start - token.end > 1 or not _diameter_of(figure):
        return None
    name, after = f"M{figure.text}", at + 2
    following = tokens[after].text if after < len(tokens) else ""
    if after < len(tokens) and tokens[after].start == figure.end and _more_of_a_name(tokens, after):
        return None
    if following == "s" and tokens[after].start == figure.end:
        after += 1
    pitch = number(tokens, after + 1) if following in DIMENSION and after + 1 < len(tokens) else None
    if pitch:
        coarse = offered[name].pitch if name in offered else None
        if coarse is None or abs(float(pitch.amount) - coarse) > NEAR:
            return item("screw", tokens, at, pitch.after, _absent(f"{name}x{pitch.text}", offered))
        after = pitch.after
    return item("screw", tokens, at, after, _named(name, offered))


def _diameter_of(figure: Token) -> bool:
    digits = figure.text.isdigit() and len(figure.text) <= len(str(LARGEST_METRIC))
    return digits and 1 < int(figure.text) <= LARGEST_METRIC


def _more_of_a_name(tokens: Sequence[Token], at: int) -> bool:
    """Whether what directly follows makes a part number of it, as in M12B and M12-400."""
    here, beyond = tokens[at], tokens[at + 1] if at + 1 < len(tokens) else None
    if here.text == "-":
        return bool(beyond and beyond.kind == "figure" and beyond.start == here.end)
    return here.kind == "word" and here.text not in {"x", "s"}


def _inch(tokens: Sequence[Token], at: int, offered: Mapping[str, Screw]) -> Made | None:
    diameter = _diameter(tokens, at)
    if diameter is None:
        return None
    then = diameter.after
    if then < len(tokens) and tokens[then].text in {'"', "″", "inch"}:
        then += 1
    dashed = then < len(tokens) and tokens[then].text in {"-", "\u2013"}
    found = _threads(tokens, then + dashed, in_figures=tokens[at].kind == "figure", dashed=dashed)
    if found is None:
        return None
    threads, after = found
    # The series by its letters; ones that are not the coarse series name another screw.
    series = tokens[after].text if after < len(tokens) else ""
    name = f"{diameter.text}-{threads}"
    if series in {"unc", "unf", "unef"}:
        after += 1
        if series != "unc":
            return item("screw", tokens, at, after, _absent(f"{name} {series.upper()}", offered))
    return item("screw", tokens, at, after, _named(name, offered))


def _threads(tokens: Sequence[Token], at: int, *, in_figures: bool, dashed: bool) -> tuple[int, int] | None:
    """The threads an inch, and the token after them: in figures as the diameter is, or in words as it is."""
    if at >= len(tokens) or (tokens[at].kind == "figure") != in_figures:
        return None
    if not in_figures:
        if tokens[at].text.removesuffix("s") in ONES and tokens[at].text not in ONES:
            # Half-thirteens.
            spoken_as = ONES[tokens[at].text.removesuffix("s")]
            return (spoken_as, at + 1) if spoken_as in THREADS else None
        spoken = number(tokens, at)
        return (int(spoken.amount), spoken.after) if spoken and spoken.amount in THREADS else None
    glued = dashed and tokens[at].start == tokens[at - 1].end and tokens[at - 1].start == tokens[at - 2].end
    named = at + 1 < len(tokens) and tokens[at + 1].start == tokens[at].end and tokens[at + 1].text in {"-", "/"}
    threads = int(tokens[at].text) if tokens[at].text.isdigit() and len(tokens[at].text) < 3 else 0  # noqa: PLR2004
    return (threads, at + 1) if glued and not named and threads in THREADS else None


def _diameter(tokens: Sequence[Token], at: int) -> Number | None:
    """A fraction of an inch below one, which stands by itself."""
    token = tokens[at]
    if token.kind == "figure":
        if token.before.isalnum() or token.before in {"-", "/", ".", "_", "#"}:
            return None
        glued = tokens[at : at + 3]
        if len(glued) < 3 or glued[1].text != "/" or glued[2].end - token.start > len("15/16"):  # noqa: PLR2004
            return None
    found = number(tokens, at) if token.kind in {"figure", "word"} else None
    return found if found and found.amount < 1 else None


def _named(name: str, offered: Mapping[str, Screw]) -> Named:
    return Named(name) if name in offered else _absent(name, offered)


def _absent(name: str, offered: Mapping[str, Screw]) -> Named:
    return Named(None, tuple(offered), f"{name} is not on offer", absent=True)
