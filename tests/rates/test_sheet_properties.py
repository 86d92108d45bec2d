"""Any card at all, out to a sheet and back: the same data, the same digest, the same comments."""

import tomllib
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tallyplate.rates.comments import comments
from tallyplate.rates.kinds import Place, card_type
from tallyplate.rates.schema import json_schema
from tallyplate.rates.toml_text import document
from tests.plates import installation
from tests.rates.schemas import faults
from tests.rates.sheets import DEMO, data, exported, loaded, read


def _leaves(node: Any, here: Place = ()) -> dict[Place, Any]:
    if not isinstance(node, dict):
        return {here: node}
    return {place: leaf for key, inner in node.items() for place, leaf in _leaves(inner, (*here, key)).items()}


def _short() -> dict[str, Any]:
    """The demonstration's card with the prices of one screw."""
    card = tomllib.loads(DEMO)
    for section in ("inserts", "mounting", "spares"):
        card[section] = {kind: {"M12": prices["M12"]} for kind, prices in card[section].items()}
    return card


FIGURES = {
    place: leaf
    for place, leaf in _leaves(_short()).items()
    # Certificates rise in price, each with the next.
    if str(leaf)[0].isdigit() and " " in str(leaf) and "certificate" not in place
}
TEXT = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff") | st.sampled_from("\t\n")
)
NUMBERS = st.from_regex(r"\A[0-9]{1,12}(\.[0-9]{1,12})?\Z")
REMARKS = st.text(st.characters(categories=["L", "N", "P", "S"]) | st.just(" "), min_size=1).map(str.strip).filter(bool)


@st.composite
def cards(draw: st.DrawFn) -> str:
    """A short card with other figures, more keys of any name, and comments anywhere."""
    card = _short()
    for place in draw(st.lists(st.sampled_from(sorted(FIGURES)), unique=True, max_size=8)):
        *around, last = place
        table: Any = card
        for step in around:
            table = table[step]
        unit = FIGURES[place].partition(" ")[2]
        bounds = {"%": (0, 99), "USD": (0, 10**9), "day": (1, 3660)}
        whole = {unit: st.integers(*most).map(str) for unit, most in bounds.items()}
        table[last] = f"{draw(whole.get(unit, NUMBERS))} {unit}"
    for key in draw(st.lists(TEXT, unique=True, max_size=3)):
        card["stock"]["price"][key] = {draw(TEXT): f"{draw(NUMBERS)} USD/lb"}
        card["work_centers"][key] = f"{draw(NUMBERS)} USD/min"
    card["finishing"]["as_machined"] = draw(st.lists(TEXT, max_size=3))
    starts = sorted(draw(st.sets(st.integers(2, 10**6), max_size=4)))
    first = {"from": 1, "price": f"{draw(st.integers(2, 10**9))}.50 USD/piece"}
    later = [{"from": start, "price": "2 USD/piece"} for start in starts]
    card["inserts"]["bushing"]["M12"]["breaks"] = [first, *later]
    places = [(), *{place[:length] for place in FIGURES for length in (1, 2, 3) if len(place) >= length}]
    return document(card, draw(st.dictionaries(st.sampled_from(sorted(places)), REMARKS, max_size=6)))


SCHEMA = json_schema(card_type(installation().modules), "Rate card")


@given(cards())
def test_any_card_that_loads_satisfies_the_schema_and_comes_back_from_a_sheet_as_it_was(toml: str) -> None:
    before = loaded(toml)
    assert faults(data(toml), SCHEMA) == []
    back = read(exported(toml))
    assert back.card.resolved.data == before.resolved.data == data(back.toml)
    assert back.card.digest == before.digest == loaded(back.toml).digest
    assert comments(back.toml) == comments(toml)
    assert back.toml == document(data(back.toml), comments(back.toml))
