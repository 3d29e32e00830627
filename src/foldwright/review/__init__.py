"""Numbered rules that read results and give findings."""
