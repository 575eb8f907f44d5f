"""From causes to what to do: which fixes apply, which are forbidden and why, doses, and their order."""
