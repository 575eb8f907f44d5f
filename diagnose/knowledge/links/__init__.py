"""Checks between pages; `check.check_links` runs them all."""
