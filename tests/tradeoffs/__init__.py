"""Comparing prices, portfolios, and what a figure is worth."""
