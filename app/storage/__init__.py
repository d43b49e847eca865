"""All SQL and all transactions."""
