"""Tests of the shipped plate families."""
