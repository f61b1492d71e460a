"""The contract (OpenAPI 3.1), made from the rulebook, the calls and the request fields."""
