"""Bond, anchorage and laps by EN 1992-1-1:2004."""
