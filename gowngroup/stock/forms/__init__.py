"""What may be typed on the pages of the stock room."""
