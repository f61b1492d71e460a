"""The steps of a plan over floats or columns, and again for what a change touches."""
