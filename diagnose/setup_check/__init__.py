"""Whether the program, as it is installed here, can be trusted: packages, folders, rules and sums."""
