"""Anchorage and laps of bars by three codes: one clause, one function."""
