"""A calculator as a person uses it: units as they are written, spreads, the sum worked in the open."""
