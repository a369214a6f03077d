"""Casting checks on the reinforcement: where bars lie, how much they are, how they end and are joined."""
