"""Tests of what would help."""
