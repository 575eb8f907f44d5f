"""Screens: plain values in, text out. No reasoning in here."""
