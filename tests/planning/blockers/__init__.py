"""Tests of what stands in the way."""
