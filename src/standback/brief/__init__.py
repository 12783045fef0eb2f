"""The brief: a TOML file that says what the poster must do.

Nothing is imported here: the settings hold a brief, and what reads one stands on the settings.
"""
