"""Drawings to bytes, one writer a format."""
