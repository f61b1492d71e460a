"""Rule files as text with lines: strict YAML, sections, sentences."""
