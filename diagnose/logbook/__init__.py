"""The log of a wine: readings from lines, tables and words, and the log as plain values to show."""
