"""How one element's numbers came about, step by step, by the very functions that the audit goes by."""
