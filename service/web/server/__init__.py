"""What gunicorn is told to do besides: how connections end, and what is refused before the app sees it."""
