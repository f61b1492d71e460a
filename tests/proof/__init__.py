"""Long measurements: what the service does under load, faults and abuse. `python -m tests.proof`
runs them.
"""
