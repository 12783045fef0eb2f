"""Measurements -> findings."""
