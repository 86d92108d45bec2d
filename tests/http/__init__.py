"""Tests of the HTTP face, over the real application."""
