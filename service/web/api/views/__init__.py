"""The endpoints. What a client needs to know stands in the docstrings and calls; the contract repeats it."""
