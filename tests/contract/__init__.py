"""Tests of what the contract hands to plugins: holes, patterns, mountings."""
