"""Hypothesis strategies for tests of plugins.

`builds()` draws builds that no family need have made, so that a cost module meets more than today's plates;
`grown(builds())` a build and one that has more of something; `plates(family, name)` plates of a family as JSON, from
what its spec says of itself; `cards()` rate cards, each a valid variation of the demonstration's. All draw from what
the demonstration offers, with the examples of what is installed, or from shop data or a card that they are given.
"""

from tallyplate.testkit.strategies.builds import builds
from tallyplate.testkit.strategies.cards import cards
from tallyplate.testkit.strategies.growth import grown, with_more_holes
from tallyplate.testkit.strategies.plates import plates

__all__ = ["builds", "cards", "grown", "plates", "with_more_holes"]
