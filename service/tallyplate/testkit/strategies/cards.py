"""A strategy for rate cards: the demonstration's, with every figure scaled."""

from fractions import Fraction
from functools import lru_cache, reduce
from typing import Any, Final

from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import changed, figures
from tallyplate.testkit.strategies.builds import demonstration

FACTORS: Final = tuple(map(Fraction, ("1", "1/3", "1/2", "9/10", "11/10", "2", "3")))


@st.composite
def cards(draw: st.DrawFn, card: RateCard | None = None) -> RateCard:
    """A rate card that a shop might have: each section and each work centre scaled by a factor of its own.

    Within a section all figures keep their proportions, so that what rises there still does; a section that refuses a
    factor (a margin of more than all) stays as it is.
    """
    card = card or demonstration().cards[-1]
    sections = {name: _scaled(card, name, draw(st.sampled_from(FACTORS))) for name in card.sections}
    work_centers = {name: changed(rate, "", draw(st.sampled_from(FACTORS))) for name, rate in card.work_centers.items()}
    return replace(card, sections=sections, work_centers=work_centers)


@lru_cache(maxsize=1024)
def _scaled(card: RateCard, name: str, factor: Fraction) -> Any:  # noqa: ANN401 - a plugin's own struct
    """A section with every figure multiplied, or as it was where its own rules forbid it."""
    section = card.sections[name]
    # A price list falls from step to step, also while it is being scaled: up from its first, down from its last.
    paths = sorted(dict(figures(section)), reverse=factor < 1)
    try:
        return reduce(lambda made, path: changed(made, path, factor), paths, section)
    except ValueError:
        return section
