"""Report -> terminal text, JSON, proof and walk-up picture."""
