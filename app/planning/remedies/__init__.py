"""What would help: changes of a day that were each solved and shown to work."""
