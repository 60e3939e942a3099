"""Figures for drafting."""

from gowngroup.planning.figures.figure import Figure

DRAFTING: tuple[Figure, ...] = ()
