"""Changes made to the sources on purpose, one at a time, to see that the tests notice: `make mutants`.

A mutant that no test kills is a place where a wrong price would go unnoticed. Two well-kept tools were tried first:
mutmut 3 asks for one source root named as the package is imported, cosmic-ray starts pytest anew for each of about 3600
mutants, annotations among them, which takes hours. This one knows its sources, and takes minutes.
"""
