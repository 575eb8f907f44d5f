"""Options, help and exit status of the command `diagnose`: thin commands over the rooms of the package."""
