"""Sentences of findings, one module a room."""
