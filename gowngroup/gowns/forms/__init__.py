"""What may be typed on the pages of the gowns room."""
