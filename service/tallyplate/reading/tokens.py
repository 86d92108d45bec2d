"""A note as tokens that remember where they stand in it: figures, words, marks, and the ends of sentences."""

import re
from typing import Final, Literal

from msgspec import Struct

Kind = Literal["figure", "word", "mark", "end", "code"]

LONG_LINE: Final = 50
"""Characters from which a line that ends without a mark is taken as wrapped, so that its sentence goes on."""

_TOKEN: Final = re.compile(
    r"(?P<code>[^\s@<>,;:]{1,64}@[^\s@<>,;]{1,128}|https?://[^\s<>]{1,256})"
    r"|(?P<figure>[0-9]+(?:[.,][0-9]+)*|(?<![0-9])[.,][0-9]+)"
    r"|(?P<glued>(?:mm|cm|in|ft)(?=x[0-9]))"
    r"|(?P<word>[^\W\d_]+(?:['\u2019][^\W\d_]+)?)"
    r"|(?P<line>\n[ \t\r]*)"
    r"|(?P<mark>\S)",
    re.IGNORECASE,
)


def words(text: str) -> frozenset[str]:
    """A list of words from one line of them."""
    return frozenset(in_order(text))


def in_order(text: str) -> list[str]:
    """The same, in the order in which they stand."""
    return text.split()


SHORTENED: Final = words("approx ca cm dia dwg ext ft in ins max min mm no qty ref tel thk thou tol wd")
"""Words that are written with a dot where no sentence ends."""

ENDS: Final = frozenset(".;?!")


class Token(Struct, frozen=True):
    """A piece of a note; `text` is in small letters, and `before` is the character that it directly follows."""

    kind: Kind
    text: str
    start: int
    end: int
    before: str = ""


def tokens(note: str) -> list[Token]:
    """The tokens of a note, in order. Lines that quote an older message, after ">", are one code each."""
    found: list[Token] = []
    at = 0
    for match in _TOKEN.finditer(note):
        if match.start() < at:
            continue
        kind, text, start = match.lastgroup, match[0].lower().replace("\u2019", "'"), match.start()
        before = note[start - 1 : start]
        if kind == "line":
            if _wrapped(note, start, match.end()):
                continue
            kind, text = "end", "\n"
        elif text == ">" and before in {"", "\n"}:
            newline = note.find("\n", start)
            at = newline if newline >= 0 else len(note)
            found.append(Token("code", note[start:at].lower(), start, at, before))
            continue
        elif text == "." and found and found[-1].text in SHORTENED and found[-1].end == start:
            kind = "mark" if _goes_on(note, match.end()) else "end"
        elif text in ENDS:
            kind = "end"
        elif kind == "glued":
            kind = "word"
        found.append(Token(kind, text, start, match.end(), before))  # type: ignore[arg-type]  # the names of groups
    return found


def _wrapped(note: str, newline: int, after: int) -> bool:
    """Whether a line ends only because it is full: a long one without a mark, and the next goes on in small letters."""
    line = newline - (note.rfind("\n", max(0, newline - LONG_LINE), newline) + 1)
    full = "\n" not in note[max(0, newline - LONG_LINE) : newline] and line >= LONG_LINE
    following, last = note[after : after + 1], note[newline - 1 : newline]
    return full and last not in ENDS and (following.islower() or following.isdigit())


def _goes_on(note: str, after: int) -> bool:
    """Whether the sentence goes on after the dot of a shortened word."""
    following = note[after : after + 2].lstrip(" ")
    return bool(following) and not following[0].isupper() and following[0] != "\n"
