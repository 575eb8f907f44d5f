"""The rule book: everything the rules know, in sentences, as one document with links between all its pages."""
