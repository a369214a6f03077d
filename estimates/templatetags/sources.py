"""Sources of figures in words."""

from __future__ import annotations

from django import template

from estimates.queries import sources

register = template.Library()
register.filter("in_words", sources.in_words)
