"""A forecast asked of an open public service: only when somebody asks for it, and never needed."""
