"""Plate families, one a file."""
