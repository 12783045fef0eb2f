"""Artwork -> elements: lines of text."""
