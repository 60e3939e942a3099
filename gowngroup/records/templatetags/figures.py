"""A figure of the planner on a page."""

from django import template

from gowngroup.records.figure_words import figure_words

register = template.Library()
register.filter("figure_words", figure_words)
