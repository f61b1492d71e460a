"""A few calls shaped for language models: short descriptions, free builds, answers of a size to read."""
