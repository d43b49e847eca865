"""Tests of the pictures that the server draws."""
