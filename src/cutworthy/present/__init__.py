"""Findings and numbers in words and units that people use."""
