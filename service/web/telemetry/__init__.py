"""What an operator sees: log lines, counters, traces."""
