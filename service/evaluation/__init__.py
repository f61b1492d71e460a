"""Plan, run, judge, explain: one build against the rulebook."""
