"""Parts: read, validate, look up."""
