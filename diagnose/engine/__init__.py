"""The forward-chaining engine: compiles the rule base to a network, runs it one way, keeps the trace."""
