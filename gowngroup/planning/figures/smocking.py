"""Figures for smocking."""

from gowngroup.planning.figures.figure import Figure

SMOCKING: tuple[Figure, ...] = ()
