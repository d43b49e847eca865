"""Requests in, HTML out."""
