"""How long walking takes: published pace models, their mix, rests and darkness."""
