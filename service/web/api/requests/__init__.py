"""What a client sends: the fields of each request, and how a body is loaded by them."""
