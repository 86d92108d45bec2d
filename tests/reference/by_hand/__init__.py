"""Whole plates worked by hand: plain arithmetic from figures copied out of the demonstration's card and shop data."""
