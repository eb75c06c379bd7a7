"""The trip file: its model, reading with all problems at once, atomic writing, JSON Schema, a starter."""
