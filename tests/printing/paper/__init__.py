"""What any sheet of paper is asked: is it tagged, does all fit, can all be read and every code be scanned."""
