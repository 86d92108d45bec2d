"""Tests of the command line, by command."""
