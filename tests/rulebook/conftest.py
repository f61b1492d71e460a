from hypothesis import settings

# The same examples every run, and no clock: a busy machine must not fail a test.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")
