"""The brief: pictures and one offline page, all from one Plan. It lays out; it computes nothing."""

from __future__ import annotations

from handline.brief.writing import write_brief

__all__ = ["write_brief"]
