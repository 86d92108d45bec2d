"""The shop's cost model, one kind of cost a file: read the list of files and you have read the model.

Each file says what it counts, by which formula, and where that comes from: `published: ...`, `common practice, no
source`, or `from memory`. An amount = quantity x rate of the card; times are worked out in s and charged in h at the
rate of their work centre (common practice, no source).
"""
