"""The tests: folders as in `app/`, and what they share."""
