"""Speed, as ratios in one run against a stated reference; never asserted in the test suite."""
