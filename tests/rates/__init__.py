"""Tests of rate cards and shop data as files."""
