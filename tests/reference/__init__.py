"""Checks of the product against something outside the project: published values, worked examples, other libraries."""
