"""Loops over arrays of numbers. Nothing here knows a noun of ours."""
