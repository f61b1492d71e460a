"""Physics of the parts of an engine: pure functions of floats or arrays, SI units throughout.

Where a parameter is a float or an array, the shapes of all of them broadcast together, and the result has
that shape.
"""
