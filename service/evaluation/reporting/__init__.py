"""What a person reads: entries, headlines, questions, numbers in units."""
