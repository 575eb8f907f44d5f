"""Conversations with a mentor: rules are added, and rules are reviewed."""
