"""The fixed line: what it asks of hands and feet, and what a tether on it does in a slip."""
