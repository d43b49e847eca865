"""Tests of what a day file may not say: a row a refusal."""
