"""One day: from a trip to the Plan that every surface renders."""
