"""Tests of the proof of rate cards and shop data: that it bites, and that it says nothing of what is good."""
