"""What is compared with the work of others, and with how many cases: for the tests and for the page of validation."""

from __future__ import annotations

TOPICS = ("cold", "haze", "heat", "outside", "runaway", "so2", "stuck")
RANDOM_SETS = 30
"""Random sets of answers for each topic."""
MOST_ANSWERS = 5
"""The most answers in a random set."""
