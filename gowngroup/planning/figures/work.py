"""Figures for work."""

from gowngroup.planning.figures.figure import Figure

WORK: tuple[Figure, ...] = ()
