"""Tests of the conformance kit: what is shipped keeps every check, and each check catches what was made to break it."""
