"""A page as it is read: its markup without what no reader sees, its text, and what is said to who cannot see it."""

from __future__ import annotations

import html
import re


def markup(page: str) -> str:
    """The page without its scripts, its data and its images."""
    without_scripts = re.sub(r"<script\b[^>]*>.*?</script>", "", page, flags=re.DOTALL)
    return re.sub(r'src="data:[^"]*"', "", without_scripts)


def visible(page: str) -> str:
    """What a reader sees or hears, with one blank between words: text and alternative texts."""
    body = re.sub(r"<style>.*?</style>", "", markup(page), flags=re.DOTALL)
    spoken = " ".join(re.findall(r'(?:alt|aria-label|data-label)="([^"]*)"', body))
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body) + " " + spoken).split())


def text_of(page: str) -> str:
    """What stands in the body of a page, without its pictures."""
    body = re.sub(r"<(style|svg)\b.*?</\1>|<img[^>]*>", " ", page[page.index("<body") :], flags=re.DOTALL)
    return plain(html.unescape(re.sub(r"<[^>]+>", " ", body)))


def plain(text: str) -> str:
    """The words of a text with one blank between them, and nothing that only parts them."""
    return " ".join(text.replace("·", " ").split())
