"""Tests of the screens and of who may ask."""
