"""Elements, artwork and what is seen of it -> measurements."""
