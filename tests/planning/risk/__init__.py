"""Tests of how sure a plan is: closed forms, the played order, what follows of an overrun."""
