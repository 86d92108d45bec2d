"""The comments of a TOML file, by the key that they speak of: the parser drops them, and people want them kept."""

from tallyplate.rates.kinds import Place
from tallyplate.rates.lines import head_of, statements


def comments(text: str) -> dict[Place, str]:
    """What is said of each key: on its line, within its value, and in the comments above.

    The root's is what stands above a first blank line; what follows the last key is said of that key.
    """
    said: dict[Place, list[str]] = {}
    above: list[str] = []
    table: Place = ()
    last: Place = ()
    seen: dict[Place, int] = {}
    for _, code, notes in statements(text):
        if not code:
            if not notes and above and not last:
                said.setdefault((), []).extend([*above, ""])
                above = []
            above += notes or ([""] if above else [])
            continue
        head = head_of(code)
        if head is None:
            pass  # A key that is not understood: what is said of it goes with the one before.
        elif code.startswith("[["):
            seen[head] = seen.get(head, -1) + 1
            table = last = (*head, seen[head])
        elif code.startswith("["):
            table = last = head
        else:
            last = (*table, *head)
        said.setdefault(last, []).extend([*above, *notes])
        above = []
    said.setdefault(last, []).extend(above)
    joined = {place: "\n".join(lines).strip("\n") for place, lines in said.items()}
    return {place: comment for place, comment in joined.items() if comment}
