"""Backstay."""
