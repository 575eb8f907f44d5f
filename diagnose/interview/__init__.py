"""The interview: which question now, what an answer means, and when enough is known."""
