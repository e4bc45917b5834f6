"""How it looks on screen and paper: values turned into figures, the sheet, the card and tables."""
