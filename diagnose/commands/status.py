"""Exit statuses, one place for all commands."""

DONE, WRONG, MISUSED, INCOMPLETE, INTERRUPTED = 0, 1, 2, 3, 130

CHANGED, LESS_SAFE = 4, 5
"""Of a comparison of rules: something is otherwise; something that guarded is gone."""
