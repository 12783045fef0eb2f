"""Reads what lines say: at near, and as they are seen from their station."""
