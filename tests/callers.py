"""Callers with some scopes, as tests need them."""

from tallyplate.access.gate import Gate
from tallyplate.access.scopes import Scope, anonymous


def gate(*scopes: Scope) -> Gate:
    """A gate behind which everybody has these scopes."""
    made = Gate()
    made.nobody = anonymous(scopes)
    return made


def customers() -> Gate:
    """A gate behind which everybody sees selling prices alone."""
    return gate(Scope.PRICE)
