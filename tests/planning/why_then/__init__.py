"""Tests of why a batch is when it is."""
