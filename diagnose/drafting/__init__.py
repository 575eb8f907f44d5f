"""Rule files changed as text: what is not changed stays byte for byte, and nothing is kept that does not load."""
