"""Stagelarder: which copies of a dish wait where, for a demonstration on camera."""
