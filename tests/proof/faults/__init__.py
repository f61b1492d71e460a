"""One fault a file, each under load: what was lost, what was wrong, how long until all was well."""
