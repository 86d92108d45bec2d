"""Scopes: what a caller may see and do, each apart from the others."""

from collections.abc import Collection
from enum import StrEnum
from typing import Final

from msgspec import Struct


class Scope(StrEnum):
    """One permission. None includes another."""

    PRICE = "price"
    """Selling prices and all that goes to a customer: quotes, drawings, schedules, questions, alternatives."""
    COST = "cost"
    """Inside figures: cost lines, rates on them, hours, overhead and margin, and prices by another date's rates."""
    RATES = "rates"
    """Which rate cards and shop data there are, why newer ones were refused, and what a draft card would do."""
    OVERRIDE = "override"
    """To settle a price by hand, with who and why."""
    METRICS = "metrics"
    """The operator's figures."""


EVERY: Final = frozenset(Scope)


class Caller(Struct, frozen=True):
    """Who calls. `name` is the id of a key or the subject of a token; empty where no credentials were given."""

    name: str
    scopes: frozenset[Scope]

    def may(self, scope: Scope) -> bool:
        """Whether the caller has a scope."""
        return scope in self.scopes


def anonymous(scopes: Collection[Scope]) -> Caller:
    """A caller without credentials."""
    return Caller("", frozenset(scopes))
