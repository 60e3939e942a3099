"""Pages about people, by noun."""
