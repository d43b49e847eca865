"""What screens read, as plain rows."""
