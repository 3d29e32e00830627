"""Tests: one folder a room; `house` checks the code itself."""
