"""Cases as records on disk: what was answered, measured, tried and decided, in the order it happened."""
