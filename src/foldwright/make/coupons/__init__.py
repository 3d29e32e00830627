"""Coupons: small test pieces that tell a workshop its true kerf, fold gain, power and clearance."""
