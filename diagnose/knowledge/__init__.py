"""What a cellar knows: the rule language, its loader and its checks."""
