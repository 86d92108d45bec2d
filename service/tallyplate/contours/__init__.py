"""Closed contours read from a customer's DXF into features of a plate; nothing of a file is trusted or guessed.

A file becomes pairs of code and value (`tags`), these become pieces on one layer (`pieces`): circles, and chains of
straight lines with arcs flattened within a chord error (`arcs`). Chains whose ends meet are joined into closed contours
(`joining`), and those become features (`reading`). A contour that is open, crosses itself or lies within another is
refused by its entity's name; entities of other kinds are told, not read.
"""
