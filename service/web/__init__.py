"""HTTP: routes, request schemas, problem details."""
