"""Design and board in, folded aeroplane out."""
