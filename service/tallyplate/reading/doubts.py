"""What takes a statement back: a "not" or an "about" beside it, alternatives, and sentences on something else.

Each doubt leaves a statement open with its reason. They look only at words nearby in the same sentence.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise, takewhile
from typing import Final

from tallyplate.reading import doubtful_words as said
from tallyplate.reading.items import Item
from tallyplate.reading.matching import FILLERS

NEXT_TO: Final = 3
FEW: Final = 6
FAR: Final = 12
"""Items in which a word that takes back is looked for: right beside a statement, near it, and anywhere before it."""

ELSEWHERE: Final = "may be of"
"""How every reason begins that says that a statement may not be of the plate at all."""

QUANTITY: Final = "/quantity"
SCREW: Final = "/plate/pattern/screw"
PITCH: Final = "/plate/pattern/pitch"
THICKNESS: Final = "/plate/thickness"
FAMILY: Final = "/plate/family"


def doubt(items: Sequence[Item], first: int, after: int, pointer: str) -> str:
    """Why a statement of some items for a pointer is not certain; empty where nothing takes it back."""
    before, following = _before(items, first), _after(items, after)
    texts = [one.text for one in before]
    reasons: tuple[Callable[[], str], ...] = (
        lambda: _taken_back(texts, items[first]),
        lambda: _possible(texts, following),
        lambda: _alternative(items, first, after, pointer),
        lambda: _either(items, first, after, pointer),
        lambda: _corrected(items, first, after, pointer),
        lambda: _of_each_lot(texts, following, pointer),
        lambda: _pitch_behind(items, first, after, pointer),
        lambda: _of_another_plate(texts, pointer),
        lambda: _stood_on(texts, pointer),
        lambda: _of_another_thing(texts, following, pointer),
        lambda: _of_other_pieces(following, pointer),
        lambda: _of_other_holes(before, following, pointer),
        lambda: _of_another_day(texts, items[first:after], pointer),
        lambda: _of_another_price(texts, following, pointer),
    )
    return next((reason for one in reasons if (reason := one())), "")


def _before(items: Sequence[Item], first: int) -> list[Item]:
    """The items before a place in its sentence, the nearest first."""
    found: list[Item] = []
    for one in items[max(0, first - FAR) : first][::-1]:
        if one.kind == "end":
            break
        found.append(one)
    return found


def _after(items: Sequence[Item], after: int) -> list[Item]:
    """The items right behind a place in its sentence."""
    found: list[Item] = []
    for one in items[after : after + NEXT_TO]:
        if one.kind == "end":
            break
        found.append(one)
    return found


def _taken_back(before: Sequence[str], first: Item) -> str:
    """Whether a "not" or an "about" stands before it, with no comma or "but" between."""
    near = [one for one in before if one not in FILLERS][:NEXT_TO]
    if any(pair == ("of", "instead") for pair in pairwise(before[: NEXT_TO + 1])):
        return '"instead of" stands before it'
    for place, text in enumerate(near):
        if text in {",", "but"}:
            break
        # "No" takes back the next word alone, and before figures it is short for "number".
        no = text == "no" and (place > 0 or first.text[:1].isdigit() or first.kind not in {"word", "screw"})
        if (text in said.NOT and not no) or (text in said.ROUGHLY and place == 0):
            return f'"{text}" stands before it'
    return '"rather than" stands before it' if near[:2] == ["than", "rather"] else ""


def _possible(before: Sequence[str], following: Sequence[Item]) -> str:
    """Whether it is only a possibility, or roughly so."""
    for place, text in enumerate(before):
        polite = place > 0 and before[place - 1] in said.POLITE
        if text in said.WHAT_IF and not polite:
            return f'"{text}" makes it a possibility'
    behind = [one.text for one in following]
    if behind and behind[0] in said.ROUGHLY_AFTER:
        return f'"{behind[0]}" stands behind it'
    if behind[:2] in UNCERTAIN or (behind[:2] == [",", "if"] and behind[2:] and behind[2] in said.REFERRING):
        return f'"{" ".join(behind[:2]).removeprefix(", ")}" stands behind it'
    return ""


UNCERTAIN: Final = (["or", "so"], ["where", "possible"], ["when", "possible"])

CHOOSING: Final = frozenset(("or", "to", "-", "\u2013"))
LISTING: Final = CHOOSING | {"/", "and", "&", "+", ","}


def _alternative(items: Sequence[Item], first: int, after: int, pointer: str) -> str:
    """Whether another value stands beside it, as in "5 or 6 off", "40 to 50 mm thick" and "1, 5 and 10 off"."""
    joining = LISTING if pointer == QUANTITY else CHOOSING
    values = _values(pointer)
    opens, closes = items[first].kind in values | {"size"}, items[after - 1].kind in values | {"size"}
    if opens and first > 1 and items[first - 1].text in joining and items[first - 2].kind in values:
        return "" if _parted(*items[first - 2 : first]) else "another value stands before it"
    if closes and after + 1 < len(items) and items[after].text in joining and items[after + 1].kind in values:
        if _parted(*items[after - 1 : after + 1]):
            return ""
        return "another value stands behind it"
    return ""


def _values(pointer: str) -> set[str]:
    return {"count"} if pointer == QUANTITY else {"count", "length", "sum", "date"}


def _either(items: Sequence[Item], first: int, after: int, pointer: str) -> str:
    """Whether another value is parted from it by more than an "or", as in "30, or 40 if that bends"."""
    values = _values(pointer)
    if first and items[first - 1].text == "or" and any(one.kind in values for one in _before(items, first)[1:FEW]):
        return "another value stands before it"
    bounded = {items[first].kind, items[after - 1].kind} & (values | {"size"})
    many = pointer == QUANTITY and _or_so_many(items[after : after + FAR])
    return "another value stands behind it" if many or (bounded and _or_another(items, after, values)) else ""


def _or_another(items: Sequence[Item], after: int, values: set[str]) -> bool:
    """Whether another value follows behind a comma: ", or 40", or as a condition has it: ", 40 if"."""
    texts = [one.text for one in items[after : after + NEXT_TO]]
    if not texts or texts[0] not in {",", "(", *PLATES}:
        return False
    then = after + 1 + (texts[1:2] == [","])
    either = then < len(items) and items[then].text == "or"
    value = items[then + either : then + either + 2]
    return bool(value) and value[0].kind in values and (either or [one.text for one in value[1:]] == ["if"])


def _or_so_many(following: Sequence[Item]) -> bool:
    """Whether a bare number follows an "or" in the same sentence, as in "10 plates in 5083, or 12 if that pays"."""
    here = list(takewhile(lambda one: one.kind != "end", following))
    return any(
        one.text == "or"
        and then.kind == "count"
        and not {other.text for other in here[place + 2 : place + 3]} & said.OWN
        for place, (one, then) in enumerate(pairwise(here))
    )


PLATES: Final = frozenset(("plate", "plates"))


def _corrected(items: Sequence[Item], first: int, after: int, pointer: str) -> str:
    """Whether a bare value further on may take its place: "actually make that twelve"."""
    own = {one.kind for one in items[first:after]}
    alike = own | ({"count"} if "length" in own else {"length"} if "count" in own and pointer != QUANTITY else set())
    ahead = items[after : after + 2 * FAR]
    for place, one in enumerate(ahead):
        making = one.text == "make" and [other.text for other in ahead[place + 1 : place + 2]] == ["that"]
        if making or one.text in said.CORRECTING:
            behind = [other for other in ahead[place + 1 : place + 2 + NEXT_TO] if other.text not in said.LEADING]
            told = len(behind) > 1 and behind[1].text in said.OWN
            if behind and behind[0].kind in alike & VALUES and not told:
                return f'"{"make that" if making else one.text}" may put another value in its place'
    return ""


VALUES: Final = frozenset(("count", "length", "size", "screw", "sum", "date"))


def _of_each_lot(before: Sequence[str], following: Sequence[Item], pointer: str) -> str:
    """Whether a number is that of each of several lots, as in "2 sets of 3 plates" and "3 plates per machine"."""
    if pointer != QUANTITY:
        return ""
    if list(before[:1]) == ["of"] and before[1:2] and before[1] in said.LOTS:
        return f'is the number in each of several: "{before[1]} of"'
    return 'is the number in each of several: "per"' if "per" in {one.text for one in following[:2]} else ""


def _pitch_behind(items: Sequence[Item], first: int, after: int, pointer: str) -> str:
    """Whether the pitch may be the value behind its word rather than that before it, as in "16 mm pitch 50"."""
    values = {"count", "length"}
    if pointer != PITCH or items[first].kind not in values or items[after - 1].kind in values or after >= len(items):
        return ""
    following = items[after : after + 2]
    told = len(following) > 1 and following[1].text in said.OWN
    return "another value stands behind it" if following[0].kind in values and not told else ""


def _parted(value: Item, mark: Item) -> bool:
    """Whether a slash parts fields, with a space before it, rather than joining values."""
    return mark.text == "/" and mark.start > value.end


def _of_another_plate(before: Sequence[str], pointer: str) -> str:
    if pointer == FAMILY and (there := next((one for one in before if one in said.REWORKED), "")):
        return f'{ELSEWHERE} a plate that is there already: "{there}"'
    ours = pointer.startswith((*said.BODY, *said.HOLES, QUANTITY))
    # What stands behind a "but" or a "now" is no longer of then.
    since = list(takewhile(lambda text: text not in {"but", "now", "instead"}, before))
    other = next((one for one in since if one in said.BEFORE), "")
    return f'{ELSEWHERE} an earlier plate: "{other}"' if ours and other else ""


def _stood_on(before: Sequence[str], pointer: str) -> str:
    """Whether a kind of plate is what the plate goes on, as in "a plate for our tombstone"."""
    near = [one for one in before if one not in {"a", "an", "the", "of"}][:2]
    on = near[:1] and near[0] in said.ONTO
    belonging = (
        len(near) > 1 and near[0] == "for" and near[1] in said.OURS - {"need", "want", "require", "request", "rfq"}
    )
    return f'{ELSEWHERE} what it goes on: "{near[0]}"' if pointer == FAMILY and (on or belonging) else ""


def _of_another_thing(before: Sequence[str], following: Sequence[Item], pointer: str) -> str:
    """The word that says that a size, a material, a pitch or a screw is not the plate's."""
    if pointer in said.HOLES:
        other = _last_of(before, said.MACHINE, said.OURS - {"need", "want", "require"})
        return f'{ELSEWHERE} the machine: "{other}"' if other else ""
    if not pointer.startswith(said.BODY):
        return ""
    behind = next((one.text for one in following[:2] if one.text not in FILLERS), "")
    beside = [one for one in (behind, *before[:1]) if one in said.BESIDE]
    beside += [behind] if behind in said.WORK | said.MACHINE else []
    # Nobody says how thick a table is, or what finish it has.
    others = said.WORK if pointer in {THICKNESS, "/plate/finish"} else said.WORK | said.MACHINE
    other = beside[0] if beside else _last_of(before, others, said.OURS)
    return f'{ELSEWHERE} something else: "{other}"' if other else ""


def _last_of(before: Sequence[str], others: frozenset[str], ours: frozenset[str]) -> str:
    """The nearest word before that is of something else, where none of ours is nearer."""
    nearest = next((one for one in before if one in others or one in ours), "")
    return nearest if nearest in others else ""


def _of_other_pieces(following: Sequence[Item], pointer: str) -> str:
    """What pieces are counted, where they are not plates."""
    if pointer != QUANTITY or not following:
        return ""
    other = following[0]
    pieces = other.kind == "screw" or other.text in said.WORK | said.BESIDE | said.SPECIAL
    return "may be a number of something else" if pieces else ""


def _of_other_holes(before: Sequence[Item], following: Sequence[Item], pointer: str) -> str:
    """What makes a screw another than the one that clamps the work: its own word, or that its holes are counted."""
    if pointer != SCREW:
        return ""
    other = next((one.text for one in (*following[:2], *before[:1]) if one.text in said.SPECIAL), "")
    counted = before[1:2] if before and before[0].text in said.TIMES else before[:1]
    other = other or next((one.text for one in counted if one.kind == "count"), "")
    return f'{ELSEWHERE} other holes or screws: "{other}"' if other else ""


def _of_another_day(before: Sequence[str], own: Sequence[Item], pointer: str) -> str:
    if pointer != "/need_by" or any(one.text in said.NEEDED for one in own):
        return ""
    other = next((one for one in before if one in said.QUOTING), "")
    return f'may be the day of something else: "{other}"' if other else ""


def _of_another_price(before: Sequence[str], following: Sequence[Item], pointer: str) -> str:
    if pointer != "/budget":
        return ""
    if other := next((one for one in before if one in said.OTHER_COSTS), ""):
        return f'may be the price of something else: "{other}"'
    return "is said of each plate; asked for is the order's" if {one.text for one in following[:2]} & said.EACH else ""
