"""What a builder receives."""
