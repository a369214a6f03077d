"""What a load comes to by the way in which it was measured: exact fractions of what was read."""
