"""Templates: guides for tracing a blank on to board, printed or on paper."""
