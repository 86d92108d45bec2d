"""Benchmarks: ratios, each measured in one interleaved run. A time never fails a test."""
