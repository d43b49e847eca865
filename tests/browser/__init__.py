"""Stories told by a real browser."""
