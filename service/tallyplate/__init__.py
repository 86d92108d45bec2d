"""Tallyplate prices made-to-order modular fixture plates: a plate spec in, a line-itemised price out."""

from tallyplate.installation import Installation, load, price

__all__ = ["Installation", "load", "price"]
