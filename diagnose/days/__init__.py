"""The days after the advice: what is due when, as plain values, and as a calendar."""
