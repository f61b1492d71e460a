"""Who may call: tokens, checks of each request, headers."""
