"""From the JSON a client sends to SI numbers and choices."""
