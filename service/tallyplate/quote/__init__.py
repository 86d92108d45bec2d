"""Quotes: a price with its parties and terms, made from what a caller says, signed, and checked a year later."""
