"""Balance, stability and trim of this aeroplane."""
