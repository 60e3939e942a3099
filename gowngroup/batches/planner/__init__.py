"""Rows of the batch as planning values, and plans as they are stored, read and drawn."""
