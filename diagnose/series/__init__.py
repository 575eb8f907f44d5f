"""Dated readings of a wine: the present run of each, how fast it goes, and what that answers. Nothing is read here."""
