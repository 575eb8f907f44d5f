"""Exit statuses, one place for all commands."""

DONE, WRONG, MISUSED, INCOMPLETE, INTERRUPTED = 0, 1, 2, 3, 130
