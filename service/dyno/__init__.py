"""After the build: pulls corrected for the weather, compared, and held against the plan."""
