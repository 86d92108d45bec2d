"""The comments of a TOML file, by the key that they speak of: the parser drops them, and people want them kept."""

import re
from collections.abc import Iterator
from typing import Final

from tallyplate.rates.kinds import Place
from tallyplate.rates.lines import key_lines

_TOKEN: Final = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*|[\[{]|[\]}]|\n|\Z",
    re.DOTALL,
)
"""What decides where a statement ends: strings, comments, brackets and line ends."""


def comments(text: str) -> dict[Place, str]:
    """What is said of each key: on its line, within its value, and in the comments above.

    The root's is what stands above a first blank line; what follows the last key is said of that key.
    """
    said: dict[Place, list[str]] = {}
    above: list[str] = []
    table: Place = ()
    last: Place = ()
    seen: dict[Place, int] = {}
    for code, notes in _statements(text):
        if not code:
            if not notes and above and not last:
                said.setdefault((), []).extend([*above, ""])
                above = []
            above += notes or ([""] if above else [])
            continue
        head = next(iter(key_lines(code.partition("\n")[0])), None)
        if head is None:
            pass  # A key that is not understood: what is said of it goes with the one before.
        elif code.startswith("[["):
            seen[head] = seen.get(head, -1) + 1
            table = last = (*head[:-1], seen[head])
        elif code.startswith("["):
            table = last = head
        else:
            last = (*table, *head)
        said.setdefault(last, []).extend([*above, *notes])
        above = []
    said.setdefault(last, []).extend(above)
    joined = {place: "\n".join(lines).strip("\n") for place, lines in said.items()}
    return {place: comment for place, comment in joined.items() if comment}


def _statements(text: str) -> Iterator[tuple[str, list[str]]]:
    """Each statement, header, comment line or blank line: its code before any comment, and its comments."""
    text = text.replace("\r\n", "\n")
    start, depth, end = 0, 0, -1
    notes: list[str] = []
    for token in _TOKEN.finditer(text):
        sign = token[0][:1]
        if sign == "#":
            notes.append(token[0][1:].removeprefix(" ").rstrip())
            end = token.start() if end < 0 else end
        elif sign in ("[", "{"):
            depth += 1
        elif sign in ("]", "}"):
            depth -= 1
        elif sign in ("\n", "") and depth <= 0:
            yield text[start : token.start() if end < 0 else end].strip(), notes
            start, depth, end, notes = token.end(), 0, -1, []
