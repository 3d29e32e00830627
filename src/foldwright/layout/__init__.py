"""Blanks placed on the workshop's sheets and beds."""
