"""Choosing: many days, starts and ways side by side. What is large is spread over all cores, or over a cluster."""
