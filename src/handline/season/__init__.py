"""The season: days of the year in words, and the periods between them."""
