"""diagnose: a rule-based troubleshooter for small-scale winemakers."""

__version__ = "0.1.0"
