"""The house rules, as tests."""
