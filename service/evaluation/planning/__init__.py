"""What can be worked out from what is known, and what each check still needs."""
