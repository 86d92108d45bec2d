"""The laws that every price keeps, as properties of the real installation with the demonstration's rate card and shop.

1 dominance, 2 subsets of holes, 3 quantities, 4 rates, 5 units and spelling, 6 lines, 7 replay and plugins, 8 stock,
9 clearance. Each file says where its law does not hold, and why.
"""
