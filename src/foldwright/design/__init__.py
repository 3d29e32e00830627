"""What people write: the design file, the workshop file, the stock."""
