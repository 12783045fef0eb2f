"""How tall letters must be, and how far they reach, before anything is drawn."""
