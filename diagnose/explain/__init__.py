"""Why, and why not: built from the trace of a judgement and nothing else."""
