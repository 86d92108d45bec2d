"""Plates that fit a budget: the exact Pareto front over price, clamping positions, precision and stiffness.

Every combination of what may change is examined; few are priced. `plates` builds them, one build for as many as it can
serve. `parts` asks cost modules and checks, each once for all plates that agree in what it read. `bounds` follows
overhead and margin with symbols for amounts. Together they give each combination a price that it cannot be below, and
`front` has the engine price, in that order, whatever might still belong to the front.
"""
