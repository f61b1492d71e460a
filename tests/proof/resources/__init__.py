"""Every resource of a running service fails in turn: answers go on, or a plain refusal comes; it recovers,
and loses nothing it promised.
"""
