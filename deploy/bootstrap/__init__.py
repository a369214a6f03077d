"""From a plain Python 3.11 to a ready environment, with the standard library alone."""
