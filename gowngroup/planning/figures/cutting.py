"""Figures for cutting."""

from gowngroup.planning.figures.figure import Figure

CUTTING: tuple[Figure, ...] = ()
