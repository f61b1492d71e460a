"""Files of builds judged in one go."""
