"""Reinforcement: cutting lengths, counts, the bar schedule in metres and kilograms, store arithmetic."""
