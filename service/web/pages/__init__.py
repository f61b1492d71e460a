"""Pages for people: a thin skin over the calls of the API, made on the server."""
