"""Tests of the computation."""
