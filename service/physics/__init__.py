"""Physics of the parts of an engine: pure functions of floats or arrays, SI units throughout."""
