"""What may be typed into the catalog."""
