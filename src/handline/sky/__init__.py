"""Light and dark: sun, moon and time zones for a place and a date."""
