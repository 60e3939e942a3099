"""Filters of the catalog pages."""
