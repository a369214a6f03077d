"""HOW MUCH: design → quantities → requirements → budget."""
