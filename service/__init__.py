"""Engine-build compatibility rules as a REST service."""
