"""Handline plans a long day up to a slab climbed along fixed cables.

An aid to planning, not instruction. The land manager's rules, local codes, the makers' instructions
and qualified guides come first.
"""

__version__ = "0.1.0"
