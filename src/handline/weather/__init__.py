"""What the sky throws at the day."""
