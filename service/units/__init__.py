"""Numbers and choices as people write them: units, forms, readings, and what is wrong with a text."""
