"""The cutting plan of steel bars: which stock to cut into which pieces, beside a proven lower bound."""
