"""Values against limits, what disagrees, and how far assumptions could move a verdict."""
