"""Rows to the day and back."""

from app.storage.translate.days import day_of, store_day

__all__ = ["day_of", "store_day"]
