"""Tests of the checks: each finding in a case that has it and in the neighbour that has not."""
