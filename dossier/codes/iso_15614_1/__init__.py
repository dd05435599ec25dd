"""What the editions of ISO 15614-1 share: how a procedure is held against its tests.

An edition gives one function, `ranges(pqr, process, choices) -> Qualified`; which variables bind
and how far is its business alone. Here is only the comparison and the joining of several tests.
"""
